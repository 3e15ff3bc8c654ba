//! How much processor time the programs that a stage ran have used.

use std::fs;

/// Clock ticks a second in `/proc`; the kernel shows all times to programs at this rate.
const TICKS: f64 = 100.0;

/// User and system time of all programs run and waited for so far; 0 on a system without `/proc`.
pub(crate) fn seconds() -> f64 {
    fs::read_to_string("/proc/self/stat").ok().and_then(|stat| of_children(&stat)).unwrap_or(0.0)
}

/// Fields 16 and 17 of `proc_pid_stat(5)`, `cutime` and `cstime`. The name in field 2 may hold spaces, so
/// they are counted from its closing bracket.
fn of_children(stat: &str) -> Option<f64> {
    let mut fields = stat.rsplit_once(')')?.1.split_whitespace().skip(13);
    let user: f64 = fields.next()?.parse().ok()?;
    let system: f64 = fields.next()?.parse().ok()?;
    Some((user + system) / TICKS)
}

#[cfg(test)]
mod tests {
    use super::of_children;

    #[test]
    fn times_are_found_behind_a_name_with_brackets() {
        let stat = "7 (a ) b) S 1 2 3 4 5 6 7 8 9 10 11 12 250 150 20 0";
        assert_eq!(of_children(stat), Some(4.0));
        assert_eq!(of_children("7 (a"), None);
    }
}
