//! How parts may be turned when they are laid on the stock.

use serde::Serialize;
use wholestep::Angle;

/// Whether parts may be turned on the stock, so that one cut makes the mitres of two.
///
/// A part that is turned has its other edge at the fence, or its other face up. So moulded, rebated
/// or grooved stock cannot be turned, nor stock with one good edge or one good face.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Turning {
    /// Every part is laid as it is drawn.
    #[default]
    None,
    /// End for end too: the edges of the stock are alike; faces stay up.
    EndForEnd,
    /// Over, too: the edges of the stock are alike, and so are its faces.
    Over,
}

impl Turning {
    /// Returns the name, as files, Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::EndForEnd => "end_for_end",
            Self::Over => "over",
        }
    }

    /// All, in the order in which they are documented.
    pub const ALL: [Self; 3] = [Self::None, Self::EndForEnd, Self::Over];

    /// The turns that it allows, those that change least first.
    pub(super) fn turns(self) -> &'static [Turn] {
        match self {
            Self::None => &Turn::ALL[..1],
            Self::EndForEnd => &Turn::ALL[..2],
            Self::Over => &Turn::ALL,
        }
    }
}

/// How a part is turned on the stock, looking down on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// As drawn.
    #[default]
    None,
    /// Half a turn lying flat: face up, the ends exchanged, the other edge at the fence.
    EndForEnd,
    /// Over about its length: face down, the ends where they were, the other edge at the fence.
    EdgeOverEdge,
    /// Over about its width: face down, the ends exchanged, the same edge at the fence.
    EndOverEnd,
}

impl Turn {
    /// Returns the name, as Python and the command line spell it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::EndForEnd => "end_for_end",
            Self::EdgeOverEdge => "edge_over_edge",
            Self::EndOverEnd => "end_over_end",
        }
    }

    /// All, in the order in which they are documented.
    pub const ALL: [Self; 4] = [Self::None, Self::EndForEnd, Self::EdgeOverEdge, Self::EndOverEnd];

    /// Tells whether the face of the part lies down.
    pub const fn is_face_down(self) -> bool {
        matches!(self, Self::EdgeOverEdge | Self::EndOverEnd)
    }

    /// The angles of the left and the right end once the part is turned.
    pub(super) fn ends(self, left: Angle, right: Angle) -> (Angle, Angle) {
        match self {
            Self::None => (left, right),
            Self::EndForEnd => (-right, -left),
            Self::EdgeOverEdge => (-left, -right),
            Self::EndOverEnd => (right, left),
        }
    }
}
