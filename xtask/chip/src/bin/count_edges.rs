//! Counts instructions of limits, edges, brakes and filling a block of edges.
#![no_std]
#![no_main]

use core::hint::black_box;

use cortex_m_rt::entry;
use num_rational::Ratio;
use wholestep::plan::{Edges, Profile, StepLimits, StepRates};
use wholestep_chip::clock::{Clock, Tally};
use wholestep_chip::{machine, must, report, stack};

#[entry]
fn main() -> ! {
    let clock = must(Clock::start());
    calibrate(&clock);
    for (name, rates) in [
        ("trapezoid", machine::trapezoid()),
        ("jerk-limited", machine::jerk_limited()),
        ("start speed", machine::started()),
    ] {
        limits(&clock, name, rates);
    }
    fill(&clock);
    report::about("values");
    report::bytes("StepLimits", size_of::<StepLimits>());
    report::bytes("Profile", size_of::<Profile>());
    report::bytes("Edges", size_of::<Edges>());
    report::end()
}

/// Two instructions a turn of the loop in cortex-m's delay; `cargo xtask chip` knows how many that makes.
fn calibrate(clock: &Clock) {
    report::once("calibration", clock.time(|| cortex_m::asm::delay(black_box(20_000))).0);
}

/// Everything that follows from one set of limits.
fn limits(clock: &Clock, name: &str, rates: StepRates) {
    report::about(name);
    let (ticks, limits) = clock.time(|| machine::limits(rates));
    report::once("limits", ticks);
    report::bytes("limits, stack", stack::depth_of(|| machine::limits(rates)).0);

    let mut profiles = Tally::default();
    for steps in [1, 10, 100, 1_000, 3_999, 4_000, 10_000, 100_000, 1_000_000] {
        profiles.add(clock.time(|| limits.profile(black_box(steps))).0);
    }
    report::count("profile", &profiles);

    for (what, steps) in [("edge of 1,000", 1_000), ("edge of 10,000", 10_000)] {
        let profile = must(limits.profile(black_box(steps)));
        edges(clock, what, &profile);
        if steps == 1_000 {
            brakes(clock, &profile, &limits);
        }
    }
}

/// Every edge of a move, the first with the making of the walk.
fn edges(clock: &Clock, what: &str, profile: &Profile) {
    let mut tally = Tally::default();
    let (entry, mut edges) = clock.time(|| profile.edges());
    let (first, _) = clock.time(|| edges.next());
    tally.add(entry + first);
    loop {
        let (ticks, edge) = clock.time(|| edges.next());
        if edge.is_none() {
            break;
        }
        tally.add(ticks);
    }
    report::count(what, &tally);
    if profile.steps() == 1_000 {
        report::bytes("edges, stack", stack::depth_of(|| profile.edges().map(black_box).count()).0);
    }
}

/// A brake at every fiftieth edge.
fn brakes(clock: &Clock, profile: &Profile, limits: &StepLimits) {
    let mut tally = Tally::default();
    for edge in (1..=profile.steps()).step_by(50) {
        tally.add(clock.time(|| profile.stop_after(black_box(edge), limits)).0);
    }
    report::count("brake", &tally);
    report::bytes("brake, stack", stack::depth_of(|| profile.stop_after(black_box(200), limits)).0);
}

/// A millisecond's edges at full speed of 100,000 steps/s, one call after another.
fn fill(clock: &Clock) {
    let rates = StepRates { speed: Ratio::new_raw(100_000, 1), ..machine::trapezoid() };
    let profile = must(machine::limits(rates).profile(black_box(200_000)));
    let mut edges = must(profile.edges_from(black_box(90_001)));
    let mut tally = Tally::default();
    let mut ticks = [0; 100];
    for _ in 0..20 {
        tally.add(clock.time(|| edges.fill(&mut ticks)).0);
        black_box(&ticks);
    }
    report::about("millisecond at 100,000 steps/s");
    report::count("fill", &tally);
}
