//! What a placement costs, for each kind of mechanism. `peers/place.py` measures pure Python beside it.

use std::hint::black_box;

use criterion::Criterion;
use scissor_table::{Scissor, ScissorTable};
use wholestep::mechanism::{
    Arm, ArmScrew, DriveTrain, Linear, ScrewMotion, ScrewTilt, Sector, StepMode, SwingArm, TiltScrew,
};
use wholestep::{Angle, Exact, Length, Measure, Mechanism, Result, Rounding};

/// A thousand targets between two measures, on a grid of sevenths so that none is on a step.
fn targets<M: Measure>(low: i64, high: i64) -> Vec<M> {
    let target = |n: i64| {
        let part = Exact::new((n * (high - low)).into(), 1000)?;
        M::from_base(Exact::integer(low).checked_add(part)?.checked_add(Exact::new(1, 7000)?)?)
    };
    (0..1000).map(target).collect::<Result<_>>().unwrap_or_default()
}

fn place<M: Mechanism>(bench: &mut Criterion, name: &str, mechanism: &M, (low, high): (i64, i64)) {
    let targets = targets::<M::Measure>(low, high);
    let mut next = targets.iter().cycle();
    bench.bench_function(name, |bencher| {
        bencher.iter(|| next.next().map(|target| mechanism.locate(black_box(*target), Rounding::Nearest)));
    });
}

fn kinds(bench: &mut Criterion) -> Result<()> {
    let motor = DriveTrain::new("1.8 deg".parse()?, StepMode::new(8)?)?.geared(16, 48)?;
    let mm = |n: i64| Length::from_base(Exact::integer(n));
    place(bench, "place/lead_screw", &Linear::lead_screw_by_lead(motor, mm(4)?)?, (-40, 60));
    place(bench, "place/belt", &Linear::belt(motor, mm(2)?, 20)?, (-40, 60));
    place(bench, "place/rack_by_tooth_pitch", &Linear::rack_by_tooth_pitch(motor, mm(5)?, 20)?, (-40, 60));
    place(bench, "place/measured", &Linear::measured(motor, "39.87 mm".parse()?)?, (-40, 60));
    place(bench, "place/rotary", &Linear::rotary(motor.geared(1, 40)?)?, (-40, 60));
    place(bench, "place/drum", &Linear::drum(motor, mm(30)?, mm(1)?)?, (-40, 60));
    place(bench, "place/rack_by_module", &Linear::rack_by_module(motor, mm(1)?, 20)?, (-40, 60));
    let arm = Arm { length: mm(150)?, pivot_depth: mm(135)?, blade_diameter: mm(250)? };
    let screw = ArmScrew {
        nut_along: mm(90)?,
        nut_across: mm(0)?,
        anchor_ahead: mm(120)?,
        anchor_above: mm(-160)?,
        screw_length: mm(150)?,
        lead: mm(4)?,
        raised_by: ScrewMotion::Lengthening,
    };
    place(bench, "place/swing_arm_by_screw", &SwingArm::by_screw(motor, arm, screw)?, (-5, 75));
    let sector = Sector { worm_starts: 1, sector_teeth: 120, arm_angle: Angle::ZERO };
    place(bench, "place/swing_arm_by_sector", &SwingArm::by_sector(motor, arm, sector)?, (-5, 75));
    let tilt = TiltScrew {
        nut_distance: mm(180)?,
        anchor_distance: mm(240)?,
        screw_length: mm(200)?,
        lead: mm(4)?,
        tilted_by: ScrewMotion::Lengthening,
        low_stop: "-1 deg".parse()?,
        high_stop: "46 deg".parse()?,
    };
    place(bench, "place/screw_tilt", &ScrewTilt::new(motor, tilt)?, (0, 45));
    let (arm, spread, lead) = (mm(650)?, mm(630)?, mm(5)?);
    let table = Scissor::new(ScissorTable { arm, stages: 2, spread, lead }, motor)?;
    place(bench, "place/scissor_table", &table, (350, 1100));
    Ok(())
}

fn main() {
    let mut bench = Criterion::default().configure_from_args().sample_size(20);
    if let Err(error) = kinds(&mut bench) {
        eprintln!("{error}");
    }
    bench.final_summary();
}
