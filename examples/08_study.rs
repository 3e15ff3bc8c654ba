//! A job on many lifts of one kind, each drawn from what the axis file leaves open: on how many would it fit?
//!
//! CAUTION: a study knows of no cutter. Make the first real run with the cutter at rest, hands clear
//! and the emergency stop in reach; the makers' manuals and the rules where you work come first.

use std::path::Path;

use wholestep_files::Registry;
use wholestep_shop::{Job, Study};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs/grooved_rails.toml");
    let rails = Study::new(Job::load(path, &Registry::standard())?, "0.01 mm", 5)?;
    println!("drawn: {}", rails.open().join(", "));
    let trials = (0..200).map(|number| rails.trial(number)).collect::<Result<Vec<_>, _>>()?;
    let summary = rails.summary(&trials);
    for (stop, spread) in rails.stops().zip(&summary.stops) {
        let spread = spread.ok_or("nobody came there")?;
        println!("{stop}: {:+.4} to {:+.4} mm off", spread.lowest, spread.highest);
    }
    println!("{}", summary.sentence());
    Ok(())
}
