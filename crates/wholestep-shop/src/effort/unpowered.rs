//! What the carriage does if the drive loses its power.

use serde::Serialize;
use wholestep::carriage::End;

use super::figures::Figures;
use super::span::Span;
use super::torque::Place;

/// Whether the load stays where it is without power.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Holding {
    /// It stays everywhere, and would with half of the least friction.
    Stays,
    /// It may stay. So near the threshold nothing is promised: vibration loosens a thread that barely holds.
    NotCertain,
    /// It moves somewhere, even with the most friction.
    Moves,
    /// Only a crank was turned, which does not tell what the load would do by itself.
    NotKnown,
}

/// What happens without power.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Unpowered {
    /// Whether the load stays.
    pub holding: Holding,
    /// The end toward which it would go, if it may go.
    #[serde(serialize_with = "by_name")]
    pub toward: Option<End>,
    /// How fast it may arrive there at most, from the other end of its travel, in units of the axis a second, if
    /// nothing but friction holds it back.
    pub arrives_at: Option<f64>,
    /// The friction of the thread above which it holds the load, from 0 to 1; `None` without a screw that is told.
    pub friction_that_holds: Option<f64>,
}

#[expect(clippy::ref_option, clippy::trivially_copy_pass_by_ref, reason = "serde hands the field so")]
fn by_name<S: serde::Serializer>(end: &Option<End>, serializer: S) -> Result<S::Ok, S::Error> {
    end.map(End::name).serialize(serializer)
}

impl Unpowered {
    pub(super) fn new(figures: &Figures, places: &[Place], friction_that_holds: Option<f64>) -> Self {
        let holding = holding(places);
        let ways = [End::Low, End::High];
        let fastest = match holding {
            Holding::NotCertain | Holding::Moves => {
                let arrivals = ways.map(|end| (end, arrival(places, end) / figures.metre));
                arrivals.into_iter().max_by(|one, other| one.1.total_cmp(&other.1))
            }
            Holding::Stays | Holding::NotKnown => None,
        };
        let fastest = fastest.filter(|(_, speed)| *speed > 0.0);
        Self {
            holding,
            toward: fastest.map(|(end, _)| end).or_else(|| match holding {
                Holding::NotCertain | Holding::Moves => pressed(places),
                Holding::Stays | Holding::NotKnown => None,
            }),
            arrives_at: fastest.map(|(_, speed)| speed),
            friction_that_holds,
        }
    }
}

fn holding(places: &[Place]) -> Holding {
    let Some(sinks) = places.iter().map(|place| place.sink).collect::<Option<Vec<Span>>>() else {
        return Holding::NotKnown;
    };
    let moves = |place: &Place| {
        [End::Low, End::High].into_iter().any(|end| free(place, end).is_some_and(|s| s.high < 0.0))
    };
    if places.iter().any(moves) {
        Holding::Moves
    } else if sinks.iter().all(|sink| sink.low >= 0.0) {
        Holding::Stays
    } else {
        Holding::NotCertain
    }
}

/// The torque to turn toward `end`, if the load presses that way; below zero it goes by itself.
fn free(place: &Place, end: End) -> Option<Span> {
    match end {
        End::Low => place.lower,
        End::High => place.net.map(|_| place.raise),
    }
}

/// The end toward which the load presses most.
fn pressed(places: &[Place]) -> Option<End> {
    let nets = places.iter().filter_map(|place| place.net);
    let net = Span::around(nets.flat_map(|net| [net.low, net.high]));
    (net.greatest().is_finite()).then_some(if net.high >= -net.low { End::Low } else { End::High })
}

/// The speed, m/s, at which a load arrives at `end` from the other, by the work of all that drives it and the
/// least friction and inertia: ½·J·ω² grows by what the load turns the motor with.
fn arrival(places: &[Place], end: End) -> f64 {
    let mut along: Vec<&Place> = places.iter().collect();
    if end == End::Low {
        along.reverse();
    }
    let mut energy = 0.0_f64;
    for pair in along.windows(2) {
        let driving =
            pair.iter().filter_map(|place| Some(-free(place, end)?.low / place.at.ratio)).sum::<f64>() / 2.0;
        let apart = (pair[1].at.metres - pair[0].at.metres).abs();
        energy = (energy + driving * apart).max(0.0);
    }
    along.last().map_or(0.0, |last| (2.0 * energy / last.inertia.low).sqrt() * last.at.ratio)
}
