//! Axis files: the files of the examples, the shared cases of what is refused, kinds of a third
//! party, and random texts.

use std::path::PathBuf;

use proptest::prelude::*;
use serde::Deserialize;
use wholestep::mechanism::{Linear, StepMode};
use wholestep::spec::{AnyAxis, AnyMechanism, AxisFile, Document, Registry};
use wholestep::{Angle, ErrorKind, Exact, Length, Measure, Mechanism, Rounding};

fn repository() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn example(name: &str) -> AxisFile {
    let path = repository().join("examples/axes").join(name);
    AxisFile::load(path, &Registry::standard()).unwrap_or_else(|error| panic!("{error}"))
}

fn examples() -> Vec<(String, String)> {
    let folder = std::fs::read_dir(repository().join("examples/axes")).unwrap();
    let mut files: Vec<_> = folder
        .map(|entry| {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    files.sort();
    files
}

#[test]
fn every_example_is_read_and_placed_on() {
    // Steps by hand: motor steps a turn × tooth ratio ÷ travel of a turn × distance from the datum.
    for (name, target, step) in [
        // 1600 × 2 ÷ 3 mm × 18 mm
        ("router_lift.toml", "18 mm", 19_200),
        // 3200 × 8 ÷ 1 in × (12 - 1/2) in
        ("stop_block.toml", "12 in", 294_400),
        // 6400 × 8 ÷ (30π mm) × 300 mm = 162,974.66…
        ("saw_fence.toml", "304 mm", 162_975),
        // 1600 × 3 ÷ 100 mm × 1000 mm
        ("belt_stop.toml", "1060 mm", 48_000),
    ] {
        let file = example(name);
        let axis = file.axis().as_length().unwrap();
        let placed = axis.place(target.parse().unwrap(), Rounding::Nearest).unwrap();
        assert_eq!(placed.step(), step, "{name}");
        assert!(placed.decided(), "{name}");
    }
    // 400 × 60 ÷ 360 deg × 30 deg
    let table = example("tilting_table.toml");
    let placed = table.axis().as_angle().unwrap().place("30 deg".parse().unwrap(), Rounding::Nearest);
    assert_eq!(placed.unwrap().step(), 2_000);
    assert_eq!(examples().len(), 5, "an example without a check");
}

#[test]
fn what_an_example_says_of_itself() {
    let described: Vec<String> =
        examples().iter().map(|(name, _)| example(name).description().to_string()).collect();
    assert_eq!(
        described,
        [
            "belt: tooth pitch 5, pulley teeth 20",
            "lead screw: pitch 3, starts 1",
            "rack: module 1.5, pinion teeth 20",
            "lead screw: threads per inch 8",
            "rotary",
        ]
    );
}
