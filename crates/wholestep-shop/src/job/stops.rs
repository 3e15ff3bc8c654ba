//! Every place that a job sends the carriage to.

use wholestep::{Enclosure, Result};

use super::{Job, MoveSpeed, Plunge};
use crate::any_bounds::AnyBounds;
use crate::caution::AT_REST;
use crate::cut_list::Setting;
use crate::messages;

/// A place that a job sends the carriage to, placed on its step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stop {
    /// What it is for.
    pub name: String,
    /// The step it stands on there.
    pub step: i64,
    /// Where that step stands, less where it was sent.
    pub remainder: AnyBounds,
    /// Its own speed, if it has one.
    pub speed: Option<MoveSpeed>,
    /// What a person must see to.
    pub caution: String,
}

/// Where a job sends the carriage, and what it leaves to a hand.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stops {
    /// The stops of the cut list, then the moves, in order.
    pub stops: Vec<Stop>,
    /// The cuts that are set by hand, because the axis does not reach them.
    pub by_hand: Vec<String>,
}

impl Stops {
    /// Adds a setting of a cut list.
    fn set(&mut self, name: String, setting: Setting) -> Result<()> {
        let Some(placed) = setting.placement else {
            self.by_hand.push(name);
            return Ok(());
        };
        let bounds = placed.remainder;
        let remainder = Enclosure::new(bounds.low.length, bounds.high.length)?;
        self.stops.push(Stop {
            name,
            step: placed.step,
            remainder: AnyBounds::Length(remainder, bounds.low.unit),
            speed: None,
            caution: AT_REST.into(),
        });
        Ok(())
    }
}

impl Job {
    /// Returns every place that the job sends the carriage to, in order.
    ///
    /// # Errors
    /// [`ErrorKind::Job`](wholestep::ErrorKind::Job) if the axis reaches none; as [`Job::cuts`].
    pub fn stops(&self) -> Result<Stops> {
        let mut all = Stops::default();
        if self.cut_list.is_some() {
            for cut in self.cuts()?.cuts {
                let name = format!("cut {}, {}", cut.number, cut.part);
                let backed_off = cut.backed_off.map(|setting| (format!("{name}: stop backed off"), setting));
                for (name, setting) in [(name, cut.setting)].into_iter().chain(backed_off) {
                    all.set(name, setting)?;
                }
            }
        }
        all.stops.extend(self.moves.iter().map(|place| Stop {
            name: place.name.clone(),
            step: place.step,
            remainder: place.remainder,
            speed: place.speed.clone(),
            caution: place.plunge.as_ref().map_or_else(|| AT_REST.into(), Plunge::caution),
        }));
        if all.stops.is_empty() {
            let error = messages::JOB_WITHOUT_A_STOP.error();
            return Err(self.place(error));
        }
        Ok(all)
    }
}
