//! A quick look at the kernel's speed.
use num_rational::Ratio;
use std::hint::black_box;
use std::time::Instant;
use wholestep::plan::StepRates;
use wholestep_benches::{jerk_limited, limits, trapezoid};
fn best(mut f: impl FnMut() -> u64, per: u64) -> f64 {
    let mut best = f64::MAX;
    for _ in 0..40 {
        let t = Instant::now();
        black_box(f());
        best = best.min(t.elapsed().as_secs_f64());
    }
    best * 1e9 / per as f64
}
fn main() {
    for (name, rates) in [
        ("trapezoid", trapezoid()),
        ("started", StepRates { start_speed: Ratio::from(1000), ..trapezoid() }),
        ("jerk", jerk_limited()),
    ] {
        let limits = limits(rates);
        for n in [1000_u64, 10_000, 100_000, 1_000_000] {
            let p = limits.profile(n).unwrap();
            let pull = best(|| black_box(&p).edges().fold(0, |a, t| a ^ t), n);
            let pull2 = best(
                || {
                    let mut e = black_box(&p).edges();
                    let mut a = 0;
                    while let Some(t) = e.next() {
                        a ^= black_box(t);
                    }
                    a
                },
                n,
            );
            let mut out = vec![0; n as usize];
            let fill = best(
                || {
                    let c = black_box(&p).edges().fill(&mut out);
                    c as u64 + out[3]
                },
                n,
            );
            println!("{name} {n}: pull {pull:.2} {pull2:.2} fill {fill:.2}  {:?}", p.shape());
        }
        for n in [100_u64, 1000, 2000, 10_000, 100_000] {
            let reps = 1000;
            let ns = best(
                || {
                    let mut a = 0;
                    for _ in 0..reps {
                        a ^= black_box(&limits).profile(black_box(n)).unwrap().ticks();
                    }
                    a
                },
                reps,
            );
            println!("{name} plan {n}: {ns:.1} ns");
        }
    }
    println!(
        "limits {} edges {} profile {}",
        size_of::<wholestep::plan::StepLimits>(),
        size_of::<wholestep::plan::Edges>(),
        size_of::<wholestep::plan::Profile>()
    );
}
