//! The third party's own tests: by hand, and by what a person may get wrong in a file.

use scissor_table::{Scissor, ScissorTable, registry};
use wholestep::mechanism::{DriveTrain, StepMode};
use wholestep::{ErrorKind, Exact, Length, Measure, Mechanism, Rounding, Width};
use wholestep_files::AxisFile;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/axis.toml");

fn table(spread: &str) -> wholestep::Result<Scissor> {
    let drive = DriveTrain::new("1.8 deg".parse()?, StepMode::new(4)?)?.geared(15, 60)?;
    let table =
        ScissorTable { arm: "650 mm".parse()?, stages: 2, spread: spread.parse()?, lead: "5 mm".parse()? };
    Scissor::new(table, drive)
}

#[test]
fn the_walkthrough_for_developers_is_this_crate() {
    let read =
        |name: &str| std::fs::read_to_string(format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let page = read("../../DEVELOPERS.md");
    for name in ["src/lib.rs", "tests/promises.rs"] {
        assert!(page.contains(&format!("`scissor_table/{name}`:\n\n```rust\n{}```", read(name))), "{name}");
    }
}

#[test]
fn the_table_travels_at_both_ends_as_the_documentation_says() {
    let table = table("630 mm").unwrap();
    // Two pairs, and 640 steps a millimetre of the screw.
    let ratio = |step| table.travel_at(step).unwrap().low().checked_mul(Exact::integer(320)).unwrap();
    let (low, high) = (ratio(*table.span().start()), ratio(*table.span().end()));
    assert!("6.9 mm".parse::<Length>().unwrap() < low && low < "7.1 mm".parse().unwrap(), "{low}");
    assert!("0.099 mm".parse::<Length>().unwrap() < high && high < "0.102 mm".parse().unwrap(), "{high}");
}

#[test]
fn heights_of_whole_triangles_are_exact() {
    // 16-63-65, 33-56-65, 39-52-65, 25-60-65 and 52-39-65, ten times; 640 steps draw 1 mm.
    for (spread, height) in [(630, 320), (560, 660), (520, 780), (600, 500), (390, 1040), (160, 1260)] {
        let step = (630 - spread) * 640;
        let position = table("630 mm").unwrap().position_at(step, Width::FINEST).unwrap();
        let height: Length = format!("{height} mm").parse().unwrap();
        assert!(position.is_exact() && position.low() == height, "{position:?}");
        let located = table("630 mm").unwrap().locate(height, Rounding::Nearest).unwrap();
        assert!(located.is_decided && located.step == step);
    }
}

#[test]
fn table_s_parameters_have_the_errors_of_a_built_in_kind() {
    let text = std::fs::read_to_string(FILE).unwrap();
    for (old, new, kind, message) in [
        (
            "arm = \"650\"",
            "arm = 650",
            ErrorKind::MissingUnit,
            "`mechanism.arm`: length “650”: write it in quotes",
        ),
        ("stages = 2", "storeys = 2", ErrorKind::Key, "`mechanism.storeys`: unknown key"),
        ("arm = \"650\"", "arn = \"650\"", ErrorKind::Key, "`mechanism.arn`: unknown key: write `arm`"),
        ("arm = \"650\"", "", ErrorKind::Key, "line 19: `mechanism.arm`: missing: write it like arm = \""),
        ("arm = \"650\"", "arm = \"650 deg\"", ErrorKind::Unit, "`mechanism.arm`"),
        (
            "spread = \"630\"",
            "spread = \"660\"",
            ErrorKind::OutOfRange,
            "`mechanism.spread`: spread of the feet",
        ),
    ] {
        let error = AxisFile::from_toml(&text.replace(old, new), &registry().unwrap()).unwrap_err();
        assert_eq!(error.kind(), kind, "{error}");
        assert!(error.to_string().contains(message), "{error}");
    }
}
