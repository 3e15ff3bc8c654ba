//! What is fitted to a machine, read from axis files.

use wholestep::carriage::AnyEquipment;
use wholestep::carriage::{Carriage, End, Inputs, Refusal, Wiring};
use wholestep_files::{AxisFile, Registry};

fn example(name: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/axes").join(name);
    std::fs::read_to_string(path).unwrap()
}

fn read(text: &str) -> wholestep::Result<AxisFile> {
    AxisFile::from_toml(text, &Registry::standard())
}

#[test]
fn the_lift_says_what_is_fitted() {
    let file = read(&example("router_lift.toml")).unwrap();
    // 3,200 steps to 3 mm: 1,600 to a turn of the motor, two of them to a turn of the screw.
    let parts = file.carriage_config().parts();
    let datum = parts.datum.unwrap();
    assert_eq!((datum.end, datum.step), (End::Low, -44_800));
    assert_eq!(datum.clearance, 1_600);
    assert_eq!(datum.bound, 128_000);
    assert_eq!(parts.switches, [Some(Wiring::NormallyClosed); 2]);
    assert_eq!((parts.contact_settle, parts.drive_settle), (10_000, 100_000));
    assert_eq!(parts.approach, Some((End::Low, 160)));
    assert_eq!(parts.touch.unwrap().toward, End::High);
    assert_eq!(parts.dial.unwrap().hand_stops, 150_000);
    assert!(parts.rocker && parts.self_holding);
    let AnyEquipment::Length(equipment) = file.equipment() else { panic!("a lift moves along a line") };
    assert_eq!(equipment.datum.unwrap().switch_at.to_string(), "-42 mm");
    // A carriage can live on it.
    let mut carriage = Carriage::commissioned(file.carriage_config());
    carriage.poll(0, &Inputs::default());
    assert_eq!(carriage.find_datum(), Err(Refusal::InputsUnsettled));
}

#[test]
fn every_example_makes_a_configuration() {
    for name in ["router_lift", "stop_block", "belt_stop", "saw_fence", "tilting_table"] {
        let file = read(&example(&format!("{name}.toml"))).unwrap();
        let (lowest, highest) = file.carriage_config().parts().steps;
        assert!(lowest < highest, "{name}");
    }
}

#[test]
fn what_is_wrong_is_named_at_its_line() {
    let lift = example("router_lift.toml");
    for (from, to, message) in [
        ("fast = \"4\"", "fast = \"9\"", "`datum.fast`"),
        ("end = \"low\"", "end = \"middle\"", "`datum.end`"),
        ("clearance = \"1.5\"", "clearence = \"1.5\"", "write `clearance`"),
        ("clearance = \"1.5\"", "clearance = \"0\"", "`datum"),
        ("\nlow = \"normally_closed\"\n", "\n", "low"),
        ("hand_stops = \"150 ms\"\n", "", "give counts_per_detent"),
        ("contact_settle = \"10 ms\"", "contact_settle = 10", "contact_settle"),
        ("probe = \"normally_open\"", "probe = \"open\"", "`touch_off.probe`"),
    ] {
        assert!(lift.contains(from), "{from}");
        let error = read(&lift.replacen(from, to, 1)).unwrap_err();
        let text = error.to_string();
        println!("{text}");
        assert!(text.contains(message) && error.line().is_some(), "{from} -> {to}: {text}");
    }
}
