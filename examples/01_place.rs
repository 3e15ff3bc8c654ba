//! A dimension on a drawing becomes a step, its exact remainder, and a timed move.

use std::path::Path;

use wholestep::axis::Approach;
use wholestep::plan::Planner;
use wholestep::{Length, Measure, Result, Rounding};
use wholestep_files::AxisFile;

fn main() -> Result<()> {
    let axes = Path::new(env!("CARGO_MANIFEST_DIR")).join("axes");
    let file = AxisFile::open(axes.join("stop_block.toml"))?;
    let stop = file.length_axis()?;
    let place = |text| stop.place(Length::read(text, None)?, Rounding::Nearest);
    for text in ["23-5/8 in", "1/3 ft", "300 mm"] {
        let placed = place(text)?;
        let [position, remainder] =
            [placed.position(), placed.remainder()].map(|bounds| bounds.low().to_text(stop.unit()));
        println!("{text}: step {} at {position}, remainder {remainder}", placed.step());
    }

    let pulse = file.pulse();
    let planner = Planner::new(stop, pulse.timer_hz, pulse.timing()?)?;
    let plan = planner.plan(&place("12 in")?, Approach::FromAbove, &place("23-5/8 in")?)?;
    let edges: Vec<u64> = plan.edges().map(|edge| edge.tick).collect();
    println!(
        "{} steps in {} ticks; the first edge falls on tick {}, the last on {}",
        plan.steps(),
        plan.ticks(),
        edges[0],
        edges[edges.len() - 1],
    );

    if let Err(error) = place("37 in") {
        println!("{error}");
    }
    Ok(())
}
