//! What a carriage takes: bytes, and the time of a poll, travelling and at rest.

use std::hint::black_box;

use criterion::{Criterion, Throughput};
use wholestep::axis::{Axis, AxisConfig, Rates};
use wholestep::carriage::{Carriage, CarriageConfig, Equipment, Inputs, State};
use wholestep::mechanism::{DriveTrain, Linear, StepMode};
use wholestep::plan::PulseTiming;
use wholestep::{Acceleration, Exact, Length, LengthUnit, Measure, Result, Speed};
use wholestep_benches::TIMER_HZ;

/// Steps of the move that is polled through.
const STEPS: i64 = 10_000;

/// A stop at 400 steps a millimetre with the shared rates.
fn configuration() -> Result<CarriageConfig> {
    let mm = |n: i64| Length::from_base(Exact::integer(n));
    let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(8)?)?;
    let rates =
        Rates::new(Speed::from_base(Exact::integer(50))?, Acceleration::from_base(Exact::integer(250))?);
    let screw = Linear::lead_screw_by_lead(motor, mm(4)?)?;
    let axis = Axis::new(screw, AxisConfig::new(LengthUnit::Millimetre, mm(0)?, mm(600)?, rates))?;
    Equipment::bare(&axis)?.config(&axis, TIMER_HZ, PulseTiming::new(80, 40, 40)?)
}

/// Polls until nothing is due; returns the polls.
fn settle(carriage: &mut Carriage<&CarriageConfig>, now: &mut u64) -> u64 {
    let held = Inputs { enable: true, ..Inputs::default() };
    let mut polls = 0;
    loop {
        polls += 1;
        match black_box(carriage.poll(*now, &held)).poll_again_at {
            Some(tick) => *now = tick,
            None => return polls,
        }
    }
}

fn poll(bench: &mut Criterion) -> Result<()> {
    let configuration = configuration()?;
    println!("a carriage takes {} bytes", size_of::<Carriage<&CarriageConfig>>());
    println!("its configuration takes {} bytes", size_of::<CarriageConfig>());
    let mut carriage = Carriage::commissioned(&configuration);
    let mut now = 0;
    settle(&mut carriage, &mut now);
    carriage.hold()?;
    settle(&mut carriage, &mut now);
    carriage.confirm_position(0)?;
    let mut group = bench.benchmark_group("carriage");
    // There and back is as many polls every time.
    let mut there_and_back = |carriage: &mut Carriage<_>| {
        let mut polls = 0;
        for to in [STEPS, 0] {
            // Refused only if it were not at rest and proven, which is looked at below.
            let _ = black_box(carriage.go_to(to));
            polls += settle(carriage, &mut now);
        }
        polls
    };
    let polls = there_and_back(&mut carriage);
    assert_eq!((carriage.state(), carriage.step()), (State::Resting, 0), "it did not travel");
    assert!(polls > 2 * STEPS.unsigned_abs(), "{polls} polls give every edge");
    group.throughput(Throughput::Elements(polls));
    group.bench_function("polls, travelling", |bencher| bencher.iter(|| there_and_back(&mut carriage)));
    group.throughput(Throughput::Elements(1));
    let held = Inputs { enable: true, ..Inputs::default() };
    let last = now;
    group.bench_function("poll, resting", |bencher| bencher.iter(|| carriage.poll(black_box(last), &held)));
    group.finish();
    Ok(())
}

fn main() {
    let mut bench = Criterion::default().configure_from_args().sample_size(20);
    if let Err(error) = poll(&mut bench) {
        eprintln!("{error}");
    }
    bench.final_summary();
}
