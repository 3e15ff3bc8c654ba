//! What a person must see to, by kind of work: conditions parted by `; `, the last of which says whose word
//! comes first. Common practice, and what saw makers' manuals ask for.

use crate::job::WorkHeld;

/// For a move that does not go into the work.
pub const AT_REST: &str = "cutter or blade at rest; the maker's manual and your local rules come first";

/// For a crosscut to a stop.
pub const CROSSCUT: &str = "hold or clamp the piece that touches the stop; if it is too short to hold, hold \
    the stock and back the stop off; let the blade stop before you lift a piece or reach past the stop, and before \
    the stop moves; the stop and its soft limits are not safety devices; the saw maker's manual and your local rules \
    come first";

/// For a mitred cut.
pub const MITRE: &str = "clamp the work, for it creeps along a mitred cut; see that fence and guard are clear of the \
    blade at this angle; swing the saw to the other side rather than turn the board over, which puts its face down; \
    the saw maker's manual and your local rules come first";

/// For touching the cutter off on a plate.
pub const TOUCH_OFF: &str = "unplug the tool; clean the tip of the cutter; turn its highest tip up by hand; clip on \
    both leads; when it has touched or stopped, take both leads off and park them; the maker's manual and your local \
    rules come first";

/// For whatever moves after a touch-off.
pub const LEADS_PARKED: &str =
    "take both leads off and park them, and look that they are, before power or any move";

/// For taking a spring out.
pub const SPRING: &str = "unplug the tool; the spring is compressed and can fly out, and the load can drop or fly up; \
    prop the load, and keep clear of the spring's line; let it expand slowly; the maker's manual and your local rules \
    come first";

/// For taking a nut or a belt off, and for switching off.
pub const LOAD_CAN_MOVE: &str = "prop the load before you take off a nut, a belt or a spring, or switch off: it can drop \
    or fly up; try the machine slowly first, with the cutter at rest and hands clear; limits are not guards; the \
    makers' manuals and your local rules come first";

/// For a turning cutter that rises into the work, by `pass_depth` at most.
pub(crate) fn plunge(pass_depth: &str, work: WorkHeld) -> String {
    let held = match work {
        WorkHeld::Clamped => "the work clamped",
        WorkHeld::BetweenStops => "the work between two stops, under a hold-down",
    };
    format!(
        "into the work by at most {pass_depth}, to the nearest step; only a cutter that cuts at its end; {held}; \
         hands off it; hold the enable button, and let go to stop; cutter below the table or at rest before you lift \
         or shift the work; the maker's manual and your local rules come first"
    )
}
