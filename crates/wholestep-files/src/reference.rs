//! The reference of every key of an axis file, from the declarations that read them.

use core::fmt;

use wholestep::Length;

use super::axis_keys::{
    CommissioningKeys, DatumKeys, DriveKeys, EffortKeys, HandKeys, LimitsKeys, MachineKeys, MotionKeys,
    MotorKeys, SpringsKeys, SwitchesKeys, TouchOffKeys, root_keys,
};
use super::keys::{Key, Keys};
use super::pulse::Pulse;
use super::registry::Registry;

/// A section of a file and its keys. It displays as a heading, a sentence and a list, in Markdown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SectionKeys {
    /// The section as it is written, `[motor]`, or what it is called.
    pub heading: String,
    /// What the section is for, in a sentence or two.
    pub about: String,
    /// Its keys.
    pub keys: Vec<Key>,
}

impl SectionKeys {
    /// Returns the section called `heading` with its keys.
    pub fn new(heading: impl Into<String>, about: impl Into<String>, keys: Vec<Key>) -> Self {
        Self { heading: heading.into(), about: about.into(), keys }
    }
}

impl fmt::Display for SectionKeys {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "### {}\n\n{}", self.heading, self.about)?;
        if !self.keys.is_empty() {
            writeln!(f)?;
        }
        for key in &self.keys {
            write!(f, "- `{}`: {}", key.name, key.value)?;
            match (&key.default, key.optional) {
                (Some(default), _) => write!(f, "; {default} if left out")?,
                (None, true) => write!(f, "; may be left out")?,
                (None, false) => {}
            }
            writeln!(f, ".{}{}", if key.about.is_empty() { "" } else { " " }, key.about)?;
        }
        Ok(())
    }
}

impl Registry {
    /// Returns every section of an axis file with its keys, those of each kind of mechanism included.
    ///
    /// ```
    /// use wholestep_files::Registry;
    /// let reference = Registry::standard().reference();
    /// let motor = reference.iter().find(|section| section.heading == "`[motor]`").unwrap();
    /// assert_eq!(motor.keys[0].name, "step_angle");
    /// ```
    pub fn reference(&self) -> Vec<SectionKeys> {
        let mut sections = vec![
            SectionKeys::new("At the top", "What the file is about.", root_keys()),
            SectionKeys::new(
                "`[motor]`",
                "The motor, its driver and the gears or pulleys behind it.",
                MotorKeys::keys(),
            ),
        ];
        sections.extend(self.kinds().map(|kind| {
            let about = format!("If the file says `kind = \"{kind}\"`. {}", self.about(kind));
            SectionKeys::new(format!("`[mechanism]` of `{kind}`"), about.trim(), self.keys_of(kind).to_vec())
        }));
        sections.extend([
            SectionKeys::new("`[limits]`", "The soft limits: nothing is placed past them.", LimitsKeys::<Length>::keys()),
            SectionKeys::new("`[motion]`", "How fast the axis goes, and how it arrives.", MotionKeys::<Length>::keys()),
            SectionKeys::new("`[pulse]`", "The timer, and the pulses that the driver needs.", Pulse::keys()),
            SectionKeys::new(
                "`[switches]`",
                "The limit switches. They are not safety devices.",
                SwitchesKeys::<Length>::keys(),
            ),
            SectionKeys::new("`[datum]`", "The search for the switch that proves the position.", DatumKeys::<Length>::keys()),
            SectionKeys::new("`[touch_off]`", "The probe that is touched to prove a height.", TouchOffKeys::<Length>::keys()),
            SectionKeys::new("`[hand]`", "Rocker and dial.", HandKeys::<Length>::keys()),
            SectionKeys::new("`[drive]`", "The stepper driver.", DriveKeys::keys()),
            SectionKeys::new(
                "`[commissioning]`",
                "The motions of the first power-up.",
                CommissioningKeys::<Length>::keys(),
            ),
            SectionKeys::new(
                "`[machine]`",
                "What the axis moves and what moves it, for effort and rehearsals; both say what they assumed \
                 for a key that is left out. A rehearsal takes the middle of a range.",
                MachineKeys::keys(),
            ),
            SectionKeys::new(
                "`[springs]`",
                "Springs along the axis, of which each has the same rate and preload.",
                SpringsKeys::keys(),
            ),
            SectionKeys::new(
                "`[effort]`",
                "What a person measured at the machine, in place of figures, or to compare with them. Prop the load \
                 before the nut or belt comes off.",
                EffortKeys::keys(),
            ),
        ]);
        sections
    }
}
