//! The sections of an axis file that say what is fitted: `[home]`, `[touch_off]` and `[hand]`.

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::section::Section;
use crate::Axis;
use crate::carriage::{DialFitting, End, Equipment, Home, TouchOff, Wiring};
use crate::error::{Error, ErrorKind, Result};
use crate::measure::{Angle, Length, Measure, Speed, Time};
use crate::mechanism::Mechanism;

/// What is fitted to an axis of either measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AnyEquipment {
    /// Its positions are lengths.
    Length(Equipment<Length>),
    /// Its positions are angles.
    Angle(Equipment<Angle>),
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum EndWord {
    Low,
    High,
}

impl From<EndWord> for End {
    fn from(word: EndWord) -> Self {
        match word {
            EndWord::Low => Self::Low,
            EndWord::High => Self::High,
        }
    }
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "snake_case")]
enum WiringWord {
    NormallyClosed,
    NormallyOpen,
}

impl From<WiringWord> for Wiring {
    fn from(word: WiringWord) -> Self {
        match word {
            WiringWord::NormallyClosed => Self::NormallyClosed,
            WiringWord::NormallyOpen => Self::NormallyOpen,
        }
    }
}

#[derive(Deserialize)]
#[serde(bound = "M: DeserializeOwned")]
struct HomeEntry<M: Measure> {
    end: EndWord,
    switch: M,
    search: Speed<M>,
    latch: Speed<M>,
    clearance: M,
    search_within: Option<M>,
    release_within: Option<M>,
    low_switch: Option<WiringWord>,
    high_switch: Option<WiringWord>,
    contact_settle: Option<Time>,
    drive_settle: Option<Time>,
}

#[derive(Deserialize)]
struct TouchEntry<M> {
    probe: Option<WiringWord>,
    toward: Option<EndWord>,
    within: M,
}

#[derive(Deserialize)]
#[serde(bound = "M: DeserializeOwned")]
struct HandEntry<M: Measure> {
    jog_speed: Option<Speed<M>>,
    #[serde(default)]
    rocker: bool,
    counts_per_detent: Option<u32>,
    ahead: Option<M>,
    hand_stops: Option<Time>,
}

/// The sections, before the axis they belong to is known.
pub(super) struct Fitted<'d> {
    home: Option<Section<'d>>,
    touch_off: Option<Section<'d>>,
    hand: Option<Section<'d>>,
}

impl<'d> Fitted<'d> {
    pub(super) fn of(root: &mut Section<'d>) -> Result<Self> {
        Ok(Self {
            home: root.optional_section("home")?,
            touch_off: root.optional_section("touch_off")?,
            hand: root.optional_section("hand")?,
        })
    }

    /// What is fitted to `axis`, whose screw holds its load by itself or not.
    pub(super) fn equipment<M: Mechanism>(
        self,
        axis: &Axis<M>,
        self_holding: bool,
    ) -> Result<Equipment<M::Measure>>
    where
        M::Measure: DeserializeOwned,
    {
        let mut equipment = Equipment { self_holding, ..Equipment::bare(axis)? };
        if let Some(mut section) = self.home {
            let entry: HomeEntry<M::Measure> = section.read()?;
            take_home(&mut equipment, axis, &entry).map_err(|error| section.blame(error))?;
        }
        if let Some(mut section) = self.touch_off {
            let entry: TouchEntry<M::Measure> = section.read()?;
            above_nought("within", entry.within, axis).map_err(|error| section.blame(error))?;
            equipment.touch_off = Some(TouchOff {
                probe: entry.probe.map_or(Wiring::NormallyOpen, Wiring::from),
                toward: entry.toward.map_or(End::High, End::from),
                within: entry.within,
            });
        }
        if let Some(mut section) = self.hand {
            let entry: HandEntry<M::Measure> = section.read()?;
            take_hand(&mut equipment, axis, &entry).map_err(|error| section.blame(error))?;
        }
        Ok(equipment)
    }
}

fn take_home<M: Mechanism>(
    equipment: &mut Equipment<M::Measure>,
    axis: &Axis<M>,
    entry: &HomeEntry<M::Measure>,
) -> Result<()> {
    let (settings, end) = (axis.settings(), End::from(entry.end));
    above_nought("clearance", entry.clearance, axis)?;
    for (subject, speed) in [("search", entry.search), ("latch", entry.latch)] {
        if speed <= Speed::ZERO {
            return Err(Error::new(ErrorKind::OutOfRange, subject)
                .given(<M::Measure as Measure>::quoted_rate(speed.base(), axis.unit(), 1))
                .remedy("give a speed above 0"));
        }
        if speed > settings.rates.speed {
            return Err(Error::new(ErrorKind::OutOfRange, subject)
                .given(<M::Measure as Measure>::quoted_rate(speed.base(), axis.unit(), 1))
                .at_most(<M::Measure as Measure>::quoted_rate(settings.rates.speed.base(), axis.unit(), 1)));
        }
    }
    let outside = match end {
        End::Low => entry.switch < settings.low,
        End::High => entry.switch > settings.high,
    };
    if !outside {
        return Err(Error::new(ErrorKind::OutOfRange, "switch")
            .given(settings.quote(entry.switch))
            .remedy("set it outside the soft limits, or draw the soft limit in"));
    }
    let far = match end {
        End::Low => settings.high,
        End::High => settings.low,
    };
    // From the far end of the travel, and a tenth more.
    let whole = far.sub(entry.switch)?.abs();
    let search_within = match entry.search_within {
        Some(within) => within,
        None => whole.add(whole.times(crate::Exact::new(1, 10)?)?)?,
    };
    above_nought("search within", search_within, axis)?;
    if let Some(within) = entry.release_within {
        above_nought("release within", within, axis)?;
        equipment.release_within = within;
    }
    let fitted = |at: End, word: Option<WiringWord>| match word {
        Some(word) => Some(Wiring::from(word)),
        None => (at == end).then_some(Wiring::NormallyClosed),
    };
    equipment.low_switch = fitted(End::Low, entry.low_switch);
    equipment.high_switch = fitted(End::High, entry.high_switch);
    equipment.contact_settle = entry.contact_settle.unwrap_or(equipment.contact_settle);
    equipment.drive_settle = entry.drive_settle.unwrap_or(equipment.drive_settle);
    equipment.home = Some(Home {
        end,
        switch: entry.switch,
        search: entry.search,
        latch: entry.latch,
        clearance: entry.clearance,
        search_within,
    });
    Ok(())
}

fn take_hand<M: Mechanism>(
    equipment: &mut Equipment<M::Measure>,
    axis: &Axis<M>,
    entry: &HandEntry<M::Measure>,
) -> Result<()> {
    equipment.rocker = entry.rocker;
    equipment.jog_speed = entry.jog_speed.unwrap_or(equipment.jog_speed);
    if let Some(counts_per_detent) = entry.counts_per_detent {
        let ahead = entry.ahead.unwrap_or(equipment.nudge);
        above_nought("ahead", ahead, axis)?;
        equipment.dial = Some(DialFitting {
            counts_per_detent,
            ahead,
            hand_stops: match entry.hand_stops {
                Some(time) => time,
                None => Time::from_seconds(crate::Exact::new(1, 5)?)?,
            },
        });
    }
    Ok(())
}

fn above_nought<M: Mechanism>(subject: &'static str, given: M::Measure, axis: &Axis<M>) -> Result<()> {
    if given > M::Measure::ZERO {
        return Ok(());
    }
    Err(Error::new(ErrorKind::OutOfRange, subject)
        .given(axis.settings().quote(given))
        .remedy("give a distance above 0"))
}
