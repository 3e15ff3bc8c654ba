//! A cut list becomes stop positions, whole steps, exact remainders, and what is left of the stock.
//!
//! CAUTION: let the blade stop before a piece is taken away, and hold each piece as the saw's maker
//! says.

use std::path::Path;

use wholestep::Result;
use wholestep_files::Registry;
use wholestep_shop::Job;

fn main() -> Result<()> {
    let jobs = Path::new(env!("CARGO_MANIFEST_DIR")).join("jobs");
    let job = Job::load(jobs.join("tool_tray.toml"), &Registry::standard())?;
    let cuts = job.cuts()?;

    for cut in &cuts.cuts {
        print!("{}. {} from stock {}: ", cut.number, cut.part, cut.stock);
        match (&cut.setting.placement, &cut.setting.by_hand) {
            (Some(placed), _) => println!("step {}, remainder {}", placed.step, placed.remainder.low),
            (None, by_hand) => println!("by hand, {}", by_hand.as_deref().unwrap_or_default()),
        }
    }
    for piece in &cuts.stock {
        println!("stock {}: {} left", piece.number, piece.offcut);
    }
    Ok(())
}
