//! What an axis file tells of a machine, in SI units: effort and rehearsal take the same figures from here.

use wholestep_files::{MachineData, Range, ThreadProfile};

use wholestep::carriage::End;

use crate::ParameterError;
use crate::parameters::{Screw, TorqueCurve, Transmission, Winding, consistent};
use crate::rehearsal::float;

/// Standard gravity, m/s² (3rd CGPM, 1901, memory).
pub const GRAVITY: f64 = 9.806_65;

/// Which figure of a range is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Taken {
    /// The lowest.
    Low,
    /// The one in the middle.
    Middle,
    /// The highest.
    High,
}

impl Taken {
    /// Returns the figure that is taken of `range`.
    ///
    /// ```
    /// use wholestep::{Enclosure, exact};
    /// use wholestep_twin::Taken;
    /// let friction = Enclosure::new(exact!(1 / 10), exact!(1 / 5))?;
    /// assert_eq!([Taken::Low, Taken::High].map(|taken| taken.of(friction)), [0.1, 0.2]);
    /// assert!((Taken::Middle.of(friction) - 0.15).abs() < 1e-12);
    /// # Ok::<(), wholestep::Error>(())
    /// ```
    pub fn of(self, range: Range) -> f64 {
        let (low, high) = (float(range.low()), float(range.high()));
        match self {
            Self::Low => low,
            Self::Middle => f64::midpoint(low, high),
            Self::High => high,
        }
    }

    /// Returns what is taken of a figure that works the other way.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Low => Self::High,
            Self::Middle => Self::Middle,
            Self::High => Self::Low,
        }
    }
}

/// Forces along an axis, N, at its low soft limit and at its high one; straight lines lead from one to the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forces {
    /// What weight and springs press toward the low end; negative toward the high one.
    pub net: [f64; 2],
    /// Friction of the guides.
    pub guides: [f64; 2],
}

impl Forces {
    /// Returns the forces that `data` tells, along a travel of so many metres, all taken so that raising asks for
    /// most ([`Taken::High`]), or least; `None` if it tells neither mass nor pushes. What was measured by pushing
    /// goes before mass and springs. `guides` is the friction of the guides if that is not told.
    pub fn told(data: &MachineData, travel: f64, guides: f64, taken: Taken) -> Option<Self> {
        let guides = data.guide_friction.map_or(guides, |friction| taken.of(friction));
        if let Some(pushed) = data.pushed {
            let push = pushed.push.map(|force| taken.of(force));
            let Some(sink) = pushed.sink.map(|sink| sink.map(|force| taken.of(force))) else {
                return Some(Self { net: push.map(|push| push - guides), guides: [guides; 2] });
            };
            let of = |end: usize| (0.5 * (push[end] + sink[end]), 0.5 * (push[end] - sink[end]));
            let ((low, rough), (high, rougher)) = (of(0), of(1));
            return Some(Self { net: [low, high], guides: [rough, rougher] });
        }
        let gravity = if data.upright? { GRAVITY } else { 0.0 };
        let weight = taken.of(data.load_mass?) * gravity;
        let springs = Self::of_springs(data, travel, taken);
        Some(Self { net: springs.map(|springs| weight + springs), guides: [guides; 2] })
    }

    /// What the springs alone press toward the low end, so that raising asks for most, or least.
    pub fn of_springs(data: &MachineData, travel: f64, taken: Taken) -> [f64; 2] {
        let Some(springs) = data.springs else { return [0.0; 2] };
        let (taken, sign) = match springs.toward {
            End::Low => (taken, 1.0),
            End::High => (taken.opposite(), -1.0),
        };
        let preload = sign * f64::from(springs.count) * taken.of(springs.preload);
        let compressed = preload + sign * f64::from(springs.count) * taken.of(springs.rate) * 1e3 * travel;
        match springs.toward {
            End::Low => [preload, compressed],
            End::High => [compressed, preload],
        }
    }

    /// Returns what weight and springs press toward the low end where the carriage has come `part` of its travel, N.
    pub fn net_at(&self, part: f64) -> f64 {
        between(self.net, part)
    }

    /// Returns the friction of the guides there, N.
    pub fn guides_at(&self, part: f64) -> f64 {
        between(self.guides, part)
    }

    /// Returns what the nut must push to raise the carriage where it has come `part` of its travel, 0 to 1, N.
    pub fn push_up(&self, part: f64) -> f64 {
        self.guides_at(part) + self.net_at(part)
    }

    /// Returns what the nut must push to lower it; negative if the load goes down by itself.
    pub fn push_down(&self, part: f64) -> f64 {
        self.guides_at(part) - self.net_at(part)
    }
}

fn between([low, high]: [f64; 2], part: f64) -> f64 {
    low + (high - low) * part
}

impl Screw {
    /// Returns the screw that `data` tells, with the friction that is `taken`; `None` if its friction is not told.
    pub fn told(data: &MachineData, taken: Taken) -> Option<Self> {
        let screw = data.screw;
        let metres = |length: wholestep::Length| 1e-3 * float(wholestep::Measure::base(length));
        let (diameter, pitch) = (metres(screw.diameter?), metres(screw.pitch?));
        // d2 = d − P/2 for trapezoidal threads (ISO 2904, read) and, by their like profile, for square and Acme;
        // d2 = d − 3√3/8·P for metric ones (ISO 68-1, memory).
        let (angle, part) = match screw.profile? {
            ThreadProfile::Square => (0.0, 0.5),
            ThreadProfile::Trapezoidal => (15.0, 0.5),
            ThreadProfile::Acme => (14.5, 0.5),
            ThreadProfile::Vee => (30.0, 0.649_519_052_838_329),
        };
        let (collar_diameter, collar_friction) =
            screw.collar.map_or((0.0, 0.0), |(diameter, friction)| (metres(diameter), taken.of(friction)));
        Some(Self {
            mean_diameter: diameter - part * pitch,
            lead: metres(screw.lead?),
            flank_angle: f64::to_radians(angle),
            friction: taken.of(screw.friction?),
            collar_diameter,
            collar_friction,
        })
    }
}

impl Transmission {
    /// Returns the transmission that `data` tells, with the friction that is `taken`: by its efficiency, by its
    /// screw, or by the pull at a crank on the driven shaft, which without friction would take `crank` N·m.
    /// `None` if `data` tells none of them.
    ///
    /// # Errors
    /// As [`from_efficiency`](Self::from_efficiency) and [`from_screw`](Self::from_screw);
    /// [`ParameterError::Contradiction`] for a crank that takes less than it would without friction.
    pub fn told(
        data: &MachineData,
        travel_per_step: f64,
        step_angle: f64,
        crank: Option<f64>,
        taken: Taken,
    ) -> Result<Option<Self>, ParameterError> {
        if let Some(efficiency) = data.efficiency {
            let efficiency = taken.opposite().of(efficiency);
            return Self::from_efficiency(travel_per_step, step_angle, efficiency).map(Some);
        }
        if let Some(screw) = Screw::told(data, taken) {
            return Self::from_screw(travel_per_step, step_angle, &screw).map(Some);
        }
        let (Some(crank), Some(cranked)) = (crank, data.cranked) else { return Ok(None) };
        let possible = crank <= Taken::High.of(cranked);
        consistent(
            "pull at the crank",
            possible,
            "less than the load takes without any friction: measure the pull, the arm and the load again",
        )?;
        let efficiency = (crank / taken.of(cranked)).min(1.0);
        Self::from_efficiency(travel_per_step, step_angle, efficiency).map(Some)
    }
}

impl TorqueCurve {
    /// Returns the curve that `data` tells of a motor of so many full steps a turn, all figures taken so that it
    /// has most torque ([`Taken::High`]), or least; `None` if its torque, or how it falls with speed, is not told.
    ///
    /// # Errors
    /// As [`Winding::new`].
    pub fn told(
        data: &MachineData,
        full_steps_per_turn: u32,
        taken: Taken,
    ) -> Result<Option<Self>, ParameterError> {
        let turns = |range: Range| taken.of(range) / 60.0 * core::f64::consts::TAU;
        let holding = data.holding_torque.map(|torque| taken.of(torque));
        if let Some((_, slowest)) = data.torque_points.first() {
            let mut rows: Vec<_> =
                data.torque_points.iter().map(|(speed, torque)| (turns(*speed), taken.of(*torque))).collect();
            if rows[0].0 > 0.0 {
                rows.insert(0, (0.0, holding.unwrap_or_else(|| taken.of(*slowest))));
            }
            return Ok(Some(Self::Table(rows)));
        }
        let Some(holding) = holding else { return Ok(None) };
        if let (Some(full), Some(none)) = (data.full_torque_to, data.no_torque_at) {
            return Ok(Some(Self::Linear { holding, corner: turns(full), zero: turns(none) }));
        }
        let Some(told) = data.winding else { return Ok(None) };
        let against = taken.opposite();
        let winding = Winding::new(
            1e-3 * against.of(told.inductance),
            told.resistance.map_or(0.0, |resistance| against.of(resistance)),
            taken.of(told.supply),
            against.of(told.current),
        )?;
        Ok(Some(Self::from_winding(holding, &winding, full_steps_per_turn)))
    }
}
