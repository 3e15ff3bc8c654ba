//! Drive trains against published threads and leads: `tests/vectors/drives.toml`.

use serde::Deserialize;
use wholestep::{Exact, Measure};
use wholestep_files::{AxisFile, Registry};

#[derive(Deserialize)]
struct Vectors {
    drive: Vec<DriveVector>,
}

#[derive(Deserialize)]
struct DriveVector {
    source: String,
    kind: String,
    motor: String,
    mechanism: String,
    travel: String,
}

#[test]
fn travel_per_step_is_that_of_the_published_screw() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/vectors/drives.toml");
    let vectors: Vectors = toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    assert!(vectors.drive.len() > 40);
    for vector in vectors.drive {
        let DriveVector { source, kind, motor, mechanism, travel } = vector;
        let text = format!(
            "version = 1\nname = \"vector\"\nkind = \"{kind}\"\n[motor]\n{motor}\n[mechanism]\n{mechanism}\n\
             [limits]\nlow = \"0 mm\"\nhigh = \"100 mm\"\n[motion]\nspeed = \"1 mm/s\"\nacceleration = \"10 mm/s²\"\n\
             [pulse]\ntimer_hz = 1000000\ndirection_setup = \"5 us\"
pulse_high = \"5 us\"
pulse_low = \"5 us\"\n"
        );
        let file = AxisFile::from_toml(&text, &Registry::standard())
            .unwrap_or_else(|error| panic!("{source}: {error}"));
        let axis = file.length_axis().unwrap();
        let travel: Exact = travel.parse().unwrap();
        let position = axis.at_step(1).unwrap().position();
        assert!(position.is_exact(), "{source}");
        assert_eq!(position.low().base(), travel, "{source}");
    }
}
