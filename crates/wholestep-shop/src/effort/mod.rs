//! Will it lift, will it stay, and how fast: the effort of an axis from what its file tells of the machine.
//!
//! Efforts are estimates of physics. The figures go in as ranges and come out as ranges, worked out in floating
//! point at both ends; nothing exact is decided by them. Rehearsals take the same figures, from the middle of each
//! range, and the same formulas, which are those of [`wholestep_twin`].

mod changes;
mod figures;
mod motor;
mod rates;
mod span;
mod torque;
mod unpowered;
mod words;

pub use changes::Change;
pub use motor::{Lag, SpeedPoint};
pub use rates::Offered;
pub use span::Span;
pub use torque::Share;
pub use unpowered::{Holding, Unpowered};
pub use words::{figure, figures as span_text};

use serde::Serialize;
use wholestep::axis::AnyAxis;
use wholestep::error::Value;
use wholestep::measure::Unit;
use wholestep::{Exact, Result, exact};
use wholestep_files::AxisFile;
use wholestep_twin::{Screw, Taken};

use crate::float::float;
use crate::messages;
use changes::{Outcome, best, changes, hardest};
use figures::Figures;
use motor::{Curves, Side, needed};
use torque::Place;

/// Whether the motor lifts what it is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Lifts {
    /// At the file's rates, with the margin that was asked for, whatever of each range is true.
    WithMargin,
    /// At the file's rates whatever is true, but with less than that margin.
    Barely,
    /// Only if the easier ends of the ranges are true.
    NotCertain,
    /// Not at the file's rates, whatever is true.
    No,
    /// The file tells too little of the motor.
    NotKnown,
}

/// What a place along the travel asks for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spot {
    /// Where, in the axis's unit; `None` if it is so all along.
    pub position: Option<f64>,
    /// Force that the nut or belt pushes with, N; of a load, what weight and springs press toward the low end.
    pub force: Option<Span>,
    /// Torque at the motor, without acceleration, N·m; negative if the load turns the motor.
    pub torque: Span,
}

/// What the motor makes of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MotorEffort {
    /// Its holding torque, N·m.
    pub holding: Span,
    /// How many times what it needs the motor has at rest, without acceleration, where that is least.
    pub times_at_rest: Span,
    /// The same at the file's speed and acceleration, if the file tells how torque falls with speed.
    pub times: Option<Span>,
    /// The greatest speed with the margin, at the file's acceleration, in units of the axis a second.
    pub greatest_speed: Option<Span>,
    /// The greatest acceleration with the margin, up to the file's speed, in units of the axis a second squared.
    pub greatest_acceleration: Option<Span>,
    /// How far the rotor lags at rest; `None` if the holding torque may not hold it.
    pub lag: Option<Lag>,
}

/// The torque that a motor must have for the file's rates with the margin, without its own rotor's inertia, N·m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MustHave {
    /// At rest.
    pub holding: Span,
    /// At the speed below, while it accelerates.
    pub at_speed: Span,
    /// Turns of the motor a minute at the file's speed.
    pub turns_a_minute: f64,
}

/// Something measured beside what the figures say of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Comparison {
    /// What was measured, and in what unit.
    pub what: &'static str,
    /// As it was measured.
    pub measured: Span,
    /// As the other figures of the file make it.
    pub by_figures: Span,
    /// Whether the two spans meet, or miss each other by a twentieth at most: scales and fingers are no finer.
    pub agrees: bool,
}

/// The effort of an axis. Torques are at the motor, N·m; forces N; inertia kg·m²; positions, speeds and
/// accelerations in the axis's unit.
///
/// ```
/// use wholestep::exact;
/// use wholestep_files::AxisFile;
/// use wholestep_shop::effort::{Effort, Holding, Lifts};
///
/// let lift = AxisFile::open("../../examples/axes/router_lift.toml")?;
/// let effort = Effort::new(&lift, exact!(1 / 2))?;
/// assert_eq!((effort.lifts, effort.unpowered.holding), (Lifts::WithMargin, Holding::Stays));
/// # Ok::<(), wholestep::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Effort {
    /// The name of the axis.
    pub axis: String,
    /// Its unit.
    pub unit: &'static str,
    /// Whether it stands upright.
    pub upright: bool,
    /// The part of the motor's torque that is to be to spare.
    pub margin: f64,
    /// The file's speed.
    pub speed: f64,
    /// The file's acceleration, or deceleration if that is greater.
    pub acceleration: f64,
    /// Positions of the soft limits.
    pub travel: Span,
    /// In a sentence or three.
    pub verdict: String,
    /// Whether it lifts.
    pub lifts: Lifts,
    /// Where raising asks for most.
    pub raising: Spot,
    /// Where lowering asks for most; `None` if only a crank tells of the load.
    pub lowering: Option<Spot>,
    /// Where weight and springs press least, and where most.
    pub load: Option<[Spot; 2]>,
    /// Between which positions the load changes from one flank of the nut to the other.
    pub flank_change: Option<Span>,
    /// What asks for the torque where it is hardest, most first.
    pub shares: Vec<Share>,
    /// What happens without power.
    pub unpowered: Unpowered,
    /// Inertia at the motor, its rotor included, where it is greatest.
    pub inertia: Span,
    /// What the motor makes of it; `None` if its torque is not told.
    pub motor: Option<MotorEffort>,
    /// What another motor must have.
    pub must_have: MustHave,
    /// What would change it, what helps most first.
    pub changes: Vec<Change>,
    /// Rates for the axis file, if the motor's curve is told and lifts with the margin.
    pub offered: Option<Offered>,
    /// What was measured beside the figures.
    pub compared: Vec<Comparison>,
    /// What in the file contradicts what the figures say.
    pub contradictions: Vec<String>,
    /// What the file does not tell and was assumed.
    pub assumed: Vec<String>,
    /// What no figure here can know.
    pub not_known: Vec<&'static str>,
    /// The motor's torque against speed, for a plot.
    pub curve: Vec<SpeedPoint>,
    /// The torque needed at the hardest place, with the file's acceleration.
    pub needed: Span,
}

/// Reads a margin as people write it: `50%`, `50 %` or `1/2`.
///
/// # Errors
/// [`ErrorKind::Syntax`](wholestep::ErrorKind::Syntax) for what is no number,
/// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for one outside 0 to 9/10.
///
/// ```
/// use wholestep::exact;
/// use wholestep_shop::effort::read_margin;
/// assert_eq!((read_margin("50 %")?, read_margin("1/2")?), (exact!(1 / 2), exact!(1 / 2)));
/// assert!(read_margin("150%").is_err());
/// # Ok::<(), wholestep::Error>(())
/// ```
pub fn read_margin(text: &str) -> Result<Exact> {
    let refuse = || messages::MARGIN_TEXT.error().given(Value::text(text)).spelling("50% or 1/2");
    let margin = match text.trim().strip_suffix('%') {
        Some(hundredths) => {
            let number = Exact::read(hundredths.trim()).map_err(|_| refuse())?;
            number.checked_div(Exact::integer(100))?
        }
        None => Exact::read(text.trim()).map_err(|_| refuse())?,
    };
    check_margin(margin)
}

fn check_margin(margin: Exact) -> Result<Exact> {
    if margin.signum() >= 0 && margin <= MARGIN_MAX {
        return Ok(margin);
    }
    let error = messages::MARGIN.error().given(Value::Exact(margin));
    Err(error.between(Value::Integer(0), Value::Exact(MARGIN_MAX)))
}

/// The margin that is common practice: half of the motor's torque to spare.
pub const USUAL_MARGIN: Exact = exact!(1 / 2);
/// The largest margin that may be asked for.
const MARGIN_MAX: Exact = exact!(9 / 10);

impl Effort {
    /// Works out the effort of the axis of `file`, with `margin` of the motor's torque to spare, 0 to 9/10.
    ///
    /// # Errors
    /// [`ErrorKind::OutOfRange`](wholestep::ErrorKind::OutOfRange) for another margin,
    /// [`ErrorKind::Key`](wholestep::ErrorKind::Key) with what must be measured if the file does not tell the load,
    /// [`ErrorKind::Mechanism`](wholestep::ErrorKind::Mechanism) for a machine that cannot be.
    pub fn new(file: &AxisFile, margin: Exact) -> Result<Self> {
        let margin = check_margin(margin)?;
        let worked_out = || {
            let mut figures = Figures::new(file)?;
            figures.by_crank = torque::efficiency_by_crank(&figures)?;
            work_out(file, &figures, float(margin))
        };
        worked_out().map_err(|error| file.place(error))
    }

    /// Tells whether the axis lifts with the margin that was asked for, whatever of each range is true.
    pub fn is_sound(&self) -> bool {
        self.lifts == Lifts::WithMargin
    }
}

fn work_out(file: &AxisFile, figures: &Figures, margin: f64) -> Result<Effort> {
    let places = torque::places(figures)?;
    let (curves, worst) = (Curves::new(figures)?, hardest(&places));
    let outcome = Outcome::new(figures, &places, margin)?;
    let motor = motor(figures, &places, curves.as_ref(), &outcome, margin);
    let screw = Screw::told(&figures.data, Taken::Middle);
    let unpowered = Unpowered::new(figures, &places, screw.map(|screw| screw.friction_that_holds()));
    let (low, high) = (places[0].at.position, places[places.len() - 1].at.position);
    let needed = Span::new(
        needed(worst, Side::Easy, figures.acceleration),
        needed(worst, Side::Hard, figures.acceleration),
    );
    let lifts = lifts(motor.as_ref(), margin);
    let offered = match &curves {
        Some(curves) if lifts != Lifts::No => Offered::new(curves, figures, &places, margin),
        _ => None,
    };
    let unit = match file.axis() {
        AnyAxis::Length(axis) => axis.unit().symbol(),
        AnyAxis::Angle(axis) => axis.unit().symbol(),
    };
    let mut effort = Effort {
        axis: file.name().into(),
        unit,
        upright: figures.data.upright == Some(true),
        margin,
        speed: figures.speed / figures.metre,
        acceleration: figures.acceleration / figures.metre,
        travel: Span::new(low, high),
        verdict: String::new(),
        lifts,
        raising: Spot::new(&places, |place| Some((place.push, place.raise)), Span::greatest)
            .unwrap_or(NO_TORQUE),
        lowering: Spot::new(&places, |place| Some((place.down, place.lower?)), Span::greatest),
        load: load(&places),
        flank_change: torque::flank_change(&places),
        shares: torque::shares(figures, worst),
        unpowered,
        inertia: Span::around(places.iter().flat_map(|place| [place.inertia.low, place.inertia.high])),
        motor,
        must_have: must_have(figures, &places, margin),
        changes: changes(figures, &places, margin)?,
        offered,
        compared: compared(figures, &places)?,
        contradictions: Vec::new(),
        assumed: figures.assumed.clone(),
        not_known: words::not_known(figures, curves.is_some()),
        curve: curves.map_or_else(Vec::new, |curves| {
            let fastest = outcome.greatest_speed.map_or(0.0, |speed| speed.high * figures.metre);
            let shown =
                (1.6 * figures.speed.max(fastest)).min(curves.fastest(&places).max(1.1 * figures.speed));
            curves.points(figures, worst, shown)
        }),
        needed,
    };
    effort.contradictions = words::contradictions(file, &effort);
    effort.verdict = words::verdict(&effort, best(&effort.changes));
    Ok(effort)
}

/// How far a measurement with a scale may be off, of itself.
const ROUGH: f64 = 0.05;

/// Without a place there is nothing to turn.
const NO_TORQUE: Spot = Spot { position: None, force: None, torque: Span::new(0.0, 0.0) };

impl Spot {
    /// The spot where `weigh` makes most of the torque that is `asked`, beside the force there.
    fn new(
        places: &[Place],
        asked: impl Fn(&Place) -> Option<(Option<Span>, Span)>,
        weigh: impl Fn(Span) -> f64,
    ) -> Option<Self> {
        let mut spots = Vec::new();
        for place in places {
            let (force, torque) = asked(place)?;
            spots.push(Self { position: Some(place.at.position), force, torque });
        }
        let most = spots.iter().map(|spot| weigh(spot.torque)).fold(f64::NEG_INFINITY, f64::max);
        let least = spots.iter().map(|spot| weigh(spot.torque)).fold(f64::INFINITY, f64::min);
        let spot = spots.into_iter().find(|spot| weigh(spot.torque) >= most)?;
        let is_even = most - least <= 1e-9 * most.abs();
        Some(Self { position: spot.position.filter(|_| !is_even), ..spot })
    }
}

/// The spots where weight and springs press least, and most; the torque is the harder one there.
fn load(places: &[Place]) -> Option<[Spot; 2]> {
    let middle = |net: Span| f64::midpoint(net.low, net.high).abs();
    let asked = |place: &Place| Some((Some(place.turn()), place.net?));
    let told = |spot: Spot| Some(Spot { force: Some(spot.torque), torque: spot.force?, ..spot });
    Some([told(Spot::new(places, asked, |net| -middle(net))?)?, told(Spot::new(places, asked, middle)?)?])
}

fn motor(
    figures: &Figures,
    places: &[Place],
    curves: Option<&Curves>,
    outcome: &Outcome,
    margin: f64,
) -> Option<MotorEffort> {
    let holding = figures.data.holding_torque.map(torque::of).or_else(|| Some(curves?.at(0.0)))?;
    let worst = hardest(places);
    let turn = worst.turn();
    let acceleration = curves.map(|curves| {
        let greatest = curves.greatest_acceleration(places, figures.speed, margin);
        greatest.map(|greatest| greatest / figures.metre)
    });
    Some(MotorEffort {
        holding,
        times_at_rest: Span::new(holding.low / turn.high, holding.high / turn.low),
        times: outcome.times,
        greatest_speed: outcome.greatest_speed,
        greatest_acceleration: acceleration,
        lag: Lag::new(figures, worst, holding),
    })
}

fn lifts(motor: Option<&MotorEffort>, margin: f64) -> Lifts {
    let Some(motor) = motor else { return Lifts::NotKnown };
    let Span { low, high } = motor.times.unwrap_or(motor.times_at_rest);
    if low * (1.0 - margin) >= 1.0 {
        Lifts::WithMargin
    } else if low >= 1.0 {
        Lifts::Barely
    } else if high >= 1.0 {
        Lifts::NotCertain
    } else {
        Lifts::No
    }
}

/// What a motor must have, its own rotor left out: that is not known before it is chosen.
fn must_have(figures: &Figures, places: &[Place], margin: f64) -> MustHave {
    let rotor = figures.data.rotor_inertia.map_or(Span::new(0.0, 0.0), torque::of).map(|rotor| 1e-7 * rotor);
    let whole = |torque: f64| torque / (1.0 - margin);
    let at_speed = |side: Side| {
        let needed = |place: &Place| {
            needed(place, side, figures.acceleration)
                - side.needed(rotor) * figures.acceleration / place.at.ratio
        };
        places.iter().map(needed).fold(0.0, f64::max)
    };
    let fastest = places.iter().map(|place| figures.speed / place.at.ratio).fold(0.0, f64::max);
    MustHave {
        holding: hardest(places).turn().map(whole),
        at_speed: Span::new(at_speed(Side::Easy), at_speed(Side::Hard)).map(whole),
        turns_a_minute: fastest / std::f64::consts::TAU * 60.0,
    }
}

/// What a person measured beside what the other figures make of it.
fn compared(figures: &Figures, places: &[Place]) -> Result<Vec<Comparison>> {
    let mut compared = Vec::new();
    let mut compare = |what, measured: Span, by_figures: Span| {
        let near = ROUGH * measured.greatest();
        let agrees = measured.low - near <= by_figures.high && by_figures.low <= measured.high + near;
        compared.push(Comparison { what, measured, by_figures, agrees });
    };
    let data = &figures.data;
    if let Some(cranked) = data.cranked.filter(|_| figures.by_crank.is_none() && places[0].net.is_some()) {
        let turning =
            |bound: fn(Span) -> f64| places.iter().map(|place| bound(place.raise)).fold(0.0, f64::max);
        let raise = Span::new(turning(|raise| raise.low), turning(|raise| raise.high));
        compare("torque at the crank, N·m", torque::of(cranked), raise.map(|torque| torque / figures.turns));
    }
    if let Some(pushed) = data.pushed.filter(|_| data.load_mass.is_some() && data.upright.is_some()) {
        let mut unpushed = figures.clone();
        unpushed.data.pushed = None;
        let places = torque::places(&unpushed)?;
        let ends = [("push at the low end, N", places.first()), ("push at the high end, N", places.last())];
        for ((what, place), push) in ends.into_iter().zip(pushed.push) {
            if let Some(by_figures) = place.and_then(|place| place.push) {
                compare(what, torque::of(push), by_figures);
            }
        }
    }
    Ok(compared)
}
