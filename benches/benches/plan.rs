//! Planning and edges beside their peers, for the same moves, in one run.
//!
//! Throughput is per edge where edges are made, so criterion's `thrpt` reads
//! edges a second. The f64 loop, the integer recursion, `stepgen` and `ramp-maker`
//! drift; what is measured is their speed, not their truth.
#![expect(missing_docs, reason = "criterion's macro makes a public function")]

use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use num_rational::Ratio;
use ramp_maker::{MotionProfile, Trapezoidal};
use rsruckig::prelude::{InputParameter, Ruckig, ThrowErrorHandler, Trajectory};
use wholestep::plan::{StepLimits, StepRates};
use wholestep_benches::{TIMER_HZ, jerk_limited, limits, trapezoid};

/// Steps of a trapezoid and of a triangle at the shared rates.
const LONG: u64 = 10_000;
const SHORT: u64 = 1_000;

fn plan(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("plan");
    let moves: [(&str, StepLimits, u64); 6] = [
        ("trapezoid", limits(trapezoid()), LONG),
        ("triangle", limits(trapezoid()), SHORT),
        ("trapezoid with start speed", limits(started()), LONG),
        ("triangle with start speed", limits(started()), SHORT),
        ("jerk-limited, full speed", limits(jerk_limited()), LONG),
        ("jerk-limited, short", limits(jerk_limited()), SHORT),
    ];
    for (name, limits, steps) in moves {
        group.bench_function(name, |bencher| {
            bencher.iter(|| black_box(&limits).profile(black_box(steps)));
        });
    }
    for (name, steps) in [("rsruckig, full speed", 10_000.0), ("rsruckig, short", 1_000.0)] {
        group.bench_function(name, |bencher| {
            let mut input = InputParameter::<1>::new(None);
            input.max_velocity[0] = 20_000.0;
            input.max_acceleration[0] = 100_000.0;
            input.max_jerk[0] = 1_000_000.0;
            let mut trajectory = Trajectory::<1>::new(None);
            let mut ruckig = Ruckig::<1, ThrowErrorHandler>::new(None, 0.01);
            bencher.iter(|| {
                input.target_position[0] = black_box(steps);
                ruckig.calculate(&input, &mut trajectory).map(|_| trajectory.get_duration())
            });
        });
    }
    group.finish();
}

fn started() -> StepRates {
    StepRates { start_speed: Ratio::from(1_000), ..trapezoid() }
}

fn edges(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("edges");
    for steps in [SHORT, LONG, 100_000] {
        group.throughput(Throughput::Elements(steps));
        for (name, rates) in
            [("trapezoid", trapezoid()), ("start speed", started()), ("jerk-limited", jerk_limited())]
        {
            let profile = limits(rates).profile(steps).expect("a move in range");
            group.bench_with_input(
                BenchmarkId::new(format!("pull, {name}"), steps),
                &profile,
                |bencher, profile| {
                    bencher.iter(|| {
                        for tick in profile.edges() {
                            black_box(tick);
                        }
                    });
                },
            );
            let mut ticks = vec![0; usize::try_from(steps).expect("a short move")];
            group.bench_with_input(
                BenchmarkId::new(format!("fill, {name}"), steps),
                &profile,
                |bencher, profile| {
                    bencher.iter(|| profile.edges().fill(black_box(&mut ticks)));
                },
            );
        }
        let ramp = u32::try_from(steps).expect("a short move");
        group.bench_with_input(
            BenchmarkId::new("f64 square root, trapezoid", steps),
            &steps,
            |bencher, &steps| {
                bencher.iter(|| square_root_loop(steps));
            },
        );
        group.bench_with_input(
            BenchmarkId::new("integer recursion, trapezoid", steps),
            &ramp,
            |bencher, &steps| {
                bencher.iter(|| integer_recursion(steps));
            },
        );
        group.bench_with_input(BenchmarkId::new("stepgen, trapezoid", steps), &ramp, |bencher, &steps| {
            bencher.iter(|| stepgen_walk(steps));
        });
        group.bench_with_input(
            BenchmarkId::new("ramp-maker f64, trapezoid", steps),
            &ramp,
            |bencher, &steps| {
                bencher.iter(|| ramp_maker_walk(steps));
            },
        );
    }
    group.finish();
}

/// Times from the square root in f64, in the three phases of the same trapezoid.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float loop is what is measured"
)]
fn square_root_loop(steps: u64) {
    let (f, v, a) = (TIMER_HZ as f64, 20_000.0_f64, 100_000.0_f64);
    let n = steps as f64;
    let ramp = (v * v / (2.0 * a)).min(n / 2.0);
    let top = (2.0 * a * ramp).sqrt();
    let end = 2.0 * top / a + (n - 2.0 * ramp) / top;
    for k in 0..steps {
        let s = k as f64 + 0.5;
        let t = if s < ramp {
            (2.0 * s / a).sqrt()
        } else if s < n - ramp {
            top / a + (s - ramp) / top
        } else {
            end - (2.0 * (n - s) / a).sqrt()
        };
        black_box((t * f + 0.5) as u64);
    }
}

/// Austin, Generate stepper-motor speed profiles in real time, 2005 (read):
/// c -= 2c / (4n + 1), in 2^-8 tick, up, along and down.
fn integer_recursion(steps: u32) {
    let (f, v, a) = (TIMER_HZ << 8, 20_000, 100_000_u64);
    // c0 = 0.676 f √(2/a)
    let first = (f / 1000 * 676 / 1000) * (2_000_000 * 1_000_000 / a).isqrt() / 1_000;
    let cruise = f / v;
    let ramp = (v * v / (2 * a)).min(u64::from(steps) / 2);
    let (mut interval, mut time) = (first.cast_signed(), 0_i64);
    let ramp = ramp.cast_signed();
    for n in 1..=i64::from(steps) {
        black_box(time >> 8);
        time += interval;
        if n < ramp {
            interval -= 2 * interval / (4 * n + 1);
        } else if n < i64::from(steps) - ramp {
            interval = cruise.cast_signed();
        } else {
            interval += 2 * interval / (4 * (i64::from(steps) - n) + 1);
        }
    }
}

fn stepgen_walk(steps: u32) {
    let mut stepper = stepgen::Stepgen::new(u32::try_from(TIMER_HZ).expect("16 MHz"));
    stepper.set_acceleration(100_000 << 8).expect("in its range");
    stepper.set_target_speed(20_000 << 8).expect("in its range");
    stepper.set_target_step(steps).expect("rates are set");
    let mut time = 0_u64;
    for delay in stepper {
        time += u64::from(delay);
        black_box(time >> 8);
    }
}

fn ramp_maker_walk(steps: u32) {
    let mut ramp = Trapezoidal::<f64>::new(100_000.0);
    ramp.enter_position_mode(20_000.0, steps);
    let mut time = 0.0;
    for delay in ramp.delays() {
        time += delay;
        black_box(time);
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default()
        .sample_size(30)
        .warm_up_time(Duration::from_millis(300))
        .measurement_time(Duration::from_millis(900));
    targets = plan, edges
}
criterion_main!(benches);
