//! One walk, for a profiler.
use wholestep_benches::{jerk_limited, limits, trapezoid};
fn main() {
    let args: Vec<String> = std::env::args().collect();
    let rates = if args[1] == "jerk" { jerk_limited() } else { trapezoid() };
    let n: u64 = args[2].parse().unwrap();
    let p = limits(rates).profile(n).unwrap();
    let mut out = vec![0_u64; n as usize];
    let mut sum = 0;
    for _ in 0..(500_000_000 / n) {
        if args[3] == "fill" {
            p.edges().fill(&mut out);
            sum ^= out[2];
        } else {
            sum ^= p.edges().fold(0, |a, t| a ^ t);
        }
    }
    println!("{sum}");
}
