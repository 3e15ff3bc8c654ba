//! What a person is told to do at each input, and what its trouble means.

use wholestep::carriage::{CarriageConfig, End, Input, Wiring};
use wholestep::{Exact, Result, Rounding};
use wholestep_twin::Trouble;

pub(super) const CAUTIONS: &str = "\
On the real machine, before the first power-up:
  - unplug the tool and take the cutter out; support the load, because it can
    drop when the motor switches off
  - keep hands, hair and sleeves away from everything that the motor moves
  - have an emergency stop in reach, wired so that it takes the power away
    without asking a program
  - with the drive off, turn the carriage by hand to the middle of its travel
  - leave mains work to somebody licensed for it
  - the makers' manuals and your local rules come first
This is a simulation. It shows the order of the steps and what faults look like;
it proves nothing about your machine.
";

/// Before anything moves on a machine with a touch probe.
pub(super) const LEADS_PARKED: &str = "\
Take both leads of the touch probe off and park them; go on when you have seen
that they are. The maker's manual and your local rules come first.";

/// What to do to an input by hand.
pub(super) const fn task(input: Input) -> &'static str {
    match input {
        Input::Switch(End::Low) => "Press the switch at the low end, hold it a moment, and let it go.",
        Input::Switch(End::High) => "Press the switch at the high end, hold it a moment, and let it go.",
        Input::Probe => "Touch the probe to its plate, hold it a moment, and take it away.",
        Input::Enable => "Hold the enable button a moment, and let it go.",
        Input::Dial => "Turn the dial up by a detent or two, and back.",
        Input::Rocker => "Hold the rocker toward the high end, then toward the low end.",
    }
}

/// What a sound input was seen to do.
pub(super) const fn seen(input: Input) -> &'static str {
    match input {
        Input::Switch(_) | Input::Enable => "seen pressed, and let go again",
        Input::Probe => "seen touched, and open again",
        Input::Dial => "seen to count up, and down again",
        Input::Rocker => "seen held to either end",
    }
}

/// What is wrong with an input, and what to look at.
pub(super) fn trouble(input: Input, trouble: Trouble, configuration: &CarriageConfig) -> [String; 2] {
    let parts = configuration.parts();
    let (wiring, key) = match input {
        Input::Switch(End::Low) => (parts.switches[0], "`low` in [switches]"),
        Input::Switch(End::High) => (parts.switches[1], "`high` in [switches]"),
        Input::Probe => (parts.probe, "`probe` in [touch_off]"),
        Input::Enable | Input::Dial | Input::Rocker => (None, ""),
    };
    // No current flows in a closed contact that reads pressed, nor in an open one that reads released.
    let cut = wiring == Some(Wiring::NormallyClosed);
    match trouble {
        Trouble::Unchanged(Some(pressed)) => [
            format!("reads {} all the time", if pressed { "pressed" } else { "released" }),
            if pressed == cut {
                "look for a broken wire, a plug that is off, and a contact that does not close"
            } else {
                "look for a contact that does not open, two wires that touch, and a wire on another input"
            }
            .into(),
        ],
        Trouble::Unchanged(None) if matches!(input, Input::Dial | Input::Rocker) => {
            ["did not change".into(), "look at its plug, its supply and each of its wires".into()]
        }
        Trouble::Unchanged(None) => [
            "did not settle".into(),
            "look for a loose wire, dirt on the contact, and noise from other wires".into(),
        ],
        Trouble::Other(other) => [
            format!("did not change, and the {other} did"),
            "their wires are exchanged, or the wrong one was changed; exchange the wires, not the file"
                .into(),
        ],
        Trouble::Also(other) => [
            format!("changed, and the {other} with it"),
            "their wires touch, or share a broken return; or both were changed".into(),
        ],
        Trouble::Inverted => {
            let (is, says) = match wiring {
                Some(Wiring::NormallyOpen) => (Wiring::NormallyClosed, Wiring::NormallyOpen),
                _ => (Wiring::NormallyOpen, Wiring::NormallyClosed),
            };
            let choice = if is == Wiring::NormallyOpen && !matches!(input, Input::Probe) {
                "wire it normally closed, so that a broken wire is noticed, or correct"
            } else {
                "correct"
            };
            [
                "reads pressed while left alone, and released while pressed".into(),
                format!("it is wired {}, and the file says {}: {choice} {key}", is.name(), says.name()),
            ]
        }
        Trouble::Backward if input == Input::Dial => [
            "counts down when it is turned up".into(),
            "exchange the wires of its two channels, with the supply off".into(),
        ],
        Trouble::Backward => [
            "points to the other end than the one it is held to".into(),
            "exchange its two wires, with the supply off".into(),
        ],
        Trouble::Stopped(why) => ["was not tried to the end".into(), why],
    }
}

/// Says how far the carriage goes compared with the file, by a simple ratio if one is within `tolerance`.
pub(super) fn how_much(ratio: Exact, tolerance: Exact) -> Result<String> {
    if ratio.signum() == 0 {
        return Ok("not at all, and not as far".into());
    }
    let whole = |ratio: Exact| -> Result<Option<i128>> {
        let whole = ratio.round(Rounding::Nearest);
        let near = whole > 1
            && ratio.checked_div(Exact::new(whole, 1)?)?.checked_sub(Exact::ONE)?.abs() <= tolerance;
        Ok(near.then_some(whole))
    };
    Ok(match (whole(ratio)?, whole(Exact::ONE.checked_div(ratio)?)?) {
        (Some(2), _) => "twice as far".into(),
        (Some(times), _) => format!("{times} times as far"),
        (None, Some(2)) => "half as far".into(),
        (None, Some(4)) => "a quarter as far".into(),
        (None, Some(part)) => format!("1/{part} as far"),
        (None, None) => format!("{} times as far", ratio.decimal(3)?),
    })
}
