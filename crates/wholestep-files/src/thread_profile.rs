//! The form of a screw's thread, as friction feels it.

use wholestep::mechanism::{Thread, ThreadForm};

/// The form of a screw's thread, which decides how hard friction grips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ThreadProfile {
    /// Flanks square to the axis.
    Square,
    /// ISO metric trapezoidal: flanks 15° from square.
    Trapezoidal,
    /// Acme: 14.5°.
    Acme,
    /// Metric or unified: 30°.
    Vee,
}

impl ThreadProfile {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Square, Self::Trapezoidal, Self::Acme, Self::Vee];

    /// Returns the word for it in files.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Square => "square",
            Self::Trapezoidal => "trapezoidal",
            Self::Acme => "acme",
            Self::Vee => "vee",
        }
    }

    /// Returns the profile of a designated thread.
    pub const fn of(thread: Thread) -> Self {
        match thread.form() {
            ThreadForm::Trapezoidal => Self::Trapezoidal,
            ThreadForm::Acme => Self::Acme,
            _ => Self::Vee,
        }
    }
}

crate::words! {
    ThreadProfile: Self::ALL;
}
