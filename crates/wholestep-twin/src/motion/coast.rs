//! A shaft left to its load: constant acceleration, in closed form.

/// Where a shaft is that nothing drives, from a starting tick on. Steps and seconds.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Coast {
    pub(crate) from: u64,
    pub(crate) position: f64,
    pub(crate) speed: f64,
    pub(crate) acceleration: f64,
    /// The tick at which it must be looked at again.
    pub(crate) until: u64,
}

impl Coast {
    /// Position and speed `seconds` after the start.
    pub(crate) fn after(&self, seconds: f64) -> (f64, f64) {
        let speed = self.speed + self.acceleration * seconds;
        (self.position + 0.5 * (self.speed + speed) * seconds, speed)
    }

    /// +1 or −1: which way it moves, or is about to; 0 at rest for good.
    pub(crate) fn way(&self) -> f64 {
        let leading = if self.speed == 0.0 { self.acceleration } else { self.speed };
        if leading == 0.0 { 0.0 } else { leading.signum() }
    }

    /// Seconds until it comes to rest; infinite if it does not.
    pub(crate) fn rest(&self) -> f64 {
        if self.speed * self.acceleration < 0.0 { -self.speed / self.acceleration } else { f64::INFINITY }
    }

    /// Seconds until it gets to `target`, ahead of it; infinite if it comes to rest before.
    pub(crate) fn reach(&self, target: f64) -> f64 {
        let distance = target - self.position;
        if distance * self.way() <= 0.0 {
            return 0.0;
        }
        let square = self.speed * self.speed + 2.0 * self.acceleration * distance;
        if square < 0.0 {
            return f64::INFINITY;
        }
        2.0 * distance / (self.speed + self.way() * libm::sqrt(square))
    }
}

#[cfg(test)]
mod tests {
    use super::Coast;

    #[test]
    fn reaches_in_the_time_its_own_position_says() {
        let cases = [(0.0, 3.0, 5.0), (4.0, 3.0, 9.0), (4.0, -3.0, 2.0), (-4.0, 3.0, -2.0), (2.0, 0.0, 7.0)];
        for (speed, acceleration, target) in cases {
            let coast = Coast { from: 0, position: 0.0, speed, acceleration, until: 0 };
            assert!((coast.after(coast.reach(target)).0 - target).abs() < 1e-12, "{coast:?}");
        }
        let coast = Coast { from: 0, position: 0.0, speed: 4.0, acceleration: -3.0, until: 0 };
        assert!(coast.reach(3.0).is_infinite());
        assert!((coast.after(coast.rest()).0 - 16.0 / 6.0).abs() < 1e-12);
    }
}
