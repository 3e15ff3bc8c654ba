//! A screw and its nut, by the friction between them.

use core::f64::consts::{FRAC_PI_3, PI, TAU};

use super::error::{ParameterError, within};

/// A screw that moves a nut, with the friction of the thread and of a plain collar.
///
/// Torques follow Shigley, *Mechanical Engineering Design*, 9th ed., Eqs 8-1 to 8-6 (read): with mean
/// diameter `d`, lead `l`, and friction `f` of the thread, taken 1/cos α as large for flanks that lean α,
///
/// raise = F·d/2·(l + π·f·d)/(π·d − f·l), lower = F·d/2·(π·f·d − l)/(π·d + f·l),
///
/// and a collar adds F·f·d/2 of its own to both.
///
/// ```
/// use wholestep_twin::Screw;
/// // Tr12x3 with a dry bronze nut.
/// let screw = Screw { mean_diameter: 10.5e-3, lead: 3e-3, flank_angle: 15_f64.to_radians(), friction: 0.1,
///     collar_diameter: 0.0, collar_friction: 0.0 };
/// assert!((screw.raise() * 135.1 - 0.1393).abs() < 1e-4);
/// assert!((screw.friction_that_holds() - 0.0878).abs() < 1e-4);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screw {
    /// Diameter at which the flanks meet on the average, m, 1e-4 to 1.
    pub mean_diameter: f64,
    /// What a turn moves the nut by, m, 1e-6 to 1.
    pub lead: f64,
    /// How far a flank leans from square to the axis, rad, 0 to π/3: 15° for a trapezoidal thread.
    pub flank_angle: f64,
    /// Coefficient of friction between screw and nut, 0 to 1.
    pub friction: f64,
    /// Mean diameter of a plain collar that takes the thrust, m, 0 to 1.
    pub collar_diameter: f64,
    /// Coefficient of friction of that collar, 0 to 1.
    pub collar_friction: f64,
}

impl Screw {
    /// Returns the torque at the screw that moves the nut against one newton, N·m/N.
    pub fn raise(&self) -> f64 {
        let (across, friction) = (PI * self.mean_diameter, self.gripping());
        let thread = (self.lead + friction * across) / (across - friction * self.lead);
        0.5 * self.mean_diameter * thread + self.collar()
    }

    /// Returns the torque at the screw that moves the nut along with one newton, N·m/N; negative if the load turns
    /// the screw.
    pub fn lower(&self) -> f64 {
        let (across, friction) = (PI * self.mean_diameter, self.gripping());
        let thread = (friction * across - self.lead) / (across + friction * self.lead);
        0.5 * self.mean_diameter * thread + self.collar()
    }

    /// Returns the coefficient of friction of the thread above which it holds a load; 0 if the collar alone does.
    pub fn friction_that_holds(&self) -> f64 {
        let across = PI * self.mean_diameter;
        let collar = self.collar_friction * self.collar_diameter;
        let gripping = (self.lead * self.mean_diameter - collar * across)
            / (across * self.mean_diameter + collar * self.lead);
        gripping.max(0.0) * libm::cos(self.flank_angle)
    }

    /// Refuses a screw that cannot exist.
    ///
    /// # Errors
    /// [`ParameterError`] if a value is out of its range, or friction so great that nothing could raise the nut.
    pub fn check(&self) -> Result<(), ParameterError> {
        within("mean diameter", self.mean_diameter, (1e-4, 1.0), "m")?;
        within("lead", self.lead, (1e-6, 1.0), "m")?;
        within("flank angle", self.flank_angle, (0.0, FRAC_PI_3), "rad")?;
        // Above it the denominator of `raise` would pass through zero: the thread jams.
        let most = 0.9 * PI * self.mean_diameter / self.lead * libm::cos(self.flank_angle);
        within("screw friction", self.friction, (0.0, most.min(1.0)), "")?;
        within("collar diameter", self.collar_diameter, (0.0, 1.0), "m")?;
        within("collar friction", self.collar_friction, (0.0, 1.0), "")
    }

    /// Friction as the leaning flanks make it grip.
    fn gripping(&self) -> f64 {
        self.friction / libm::cos(self.flank_angle)
    }

    fn collar(&self) -> f64 {
        0.5 * self.collar_friction * self.collar_diameter
    }

    /// What one newton would take without friction, N·m/N.
    pub(super) fn ideal(&self) -> f64 {
        self.lead / TAU
    }
}
