//! A belt stop held against a gauge, up and down its rail: is it the zero, the scale or the play?
//!
//! CAUTION: take readings with the blade at rest and the saw unplugged; the axis moves by itself. The
//! makers' manuals and the rules where you work come first.

use std::path::Path;

use wholestep_files::AxisFile;
use wholestep_shop::Calibration;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let stop = AxisFile::open(here.join("axes/belt_stop.toml"))?;
    let readings = here.join("readings/belt_stop.csv");
    let told = Calibration::of(&stop, &readings, "0.01 mm", Some("0.1 mm"))?;
    println!("{}", told.verdict);
    println!("scale {}", told.scale.exact);
    for edit in &told.edits {
        println!("{}: {} -> {}", edit.key, edit.old, edit.new);
    }
    Ok(())
}
