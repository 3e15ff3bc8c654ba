//! Parts in a table of one's own, as a spreadsheet writes it, become the sheet for the saw.
//!
//! CAUTION: let the blade stop before a piece is taken away, and hold each piece as the saw's maker
//! says.

use std::fs;
use std::path::Path;

use wholestep::plan::Planner;
use wholestep::{Length, LengthUnit};
use wholestep_cli::cut_sheet;
use wholestep_files::AxisFile;
use wholestep_shop::CutList;
use wholestep_shop::cut_list::Stock;
use wholestep_shop::job::load_parts;

const PARTS: &str = "\
name,length (mm),quantity
shelf,612.5,3
upright,1180,2
cleat,90,4
";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let file = AxisFile::open(Path::new(env!("CARGO_MANIFEST_DIR")).join("axes/belt_stop.toml"))?;
    let stop = file.length_axis()?;
    let folder = tempfile::tempdir()?;
    let table = folder.path().join("bookcase.csv");
    fs::write(&table, PARTS)?;

    let mm = |text: &str| text.parse::<Length>();
    let mut wanted = CutList::new(LengthUnit::Millimetre);
    wanted.kerf = mm("3.2 mm")?;
    wanted.end_trim = mm("10 mm")?;
    wanted.shortest_to_hold = mm("150 mm")?;
    wanted.stock.push(Stock { length: mm("2400 mm")?, quantity: Some(3) });
    wanted.parts = load_parts(&table, Some(LengthUnit::Millimetre), &wanted)?;

    let mut sheet = wanted.cuts(stop)?;
    let pulse = file.pulse();
    sheet.plan_moves(&Planner::new(stop, pulse.timer_hz, pulse.timing()?)?)?;
    let title = cut_sheet::title("Bookcase", file.name());
    print!("{}", cut_sheet::text(&cut_sheet::blocks(&title, &sheet)?));
    Ok(())
}
