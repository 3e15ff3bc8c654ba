//! What `wholestep` relies on, asked of the table and of its axis file.

use scissor_table::{Scissor, ScissorTable, registry};
use wholestep::mechanism::{DriveTrain, StepMode};
use wholestep::{Result, Rounding};
use wholestep_files::AxisFile;
use wholestep_twin::Conformance;

#[test]
fn table_keeps_what_a_mechanism_promises() -> Result<()> {
    let drive = DriveTrain::new("1.8 deg".parse()?, StepMode::new(4)?)?.geared(15, 60)?;
    let (arm, spread, lead) = ("650 mm".parse()?, "630 mm".parse()?, "5 mm".parse()?);
    let table = Scissor::new(ScissorTable { arm, stages: 2, spread, lead }, drive)?;
    let report = Conformance::new().samples(60).check(&table).unwrap();
    assert!(report.placements > 600, "{report:?}");
    Ok(())
}

#[test]
fn axis_file_names_the_table() -> Result<()> {
    let file = AxisFile::load("axis.toml", &registry()?)?;
    let placed = file.length_axis()?.place("780 mm".parse()?, Rounding::Nearest)?;
    // Two stages of 390 mm each, by the triangle 390-520-650; 640 steps draw the feet 1 mm together.
    assert_eq!(placed.step(), (630 - 520) * 640);
    Ok(())
}
