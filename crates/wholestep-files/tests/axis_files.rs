//! Axis files: the files of the examples, the shared cases of what is refused, kinds of a third
//! party, and random texts.

use std::path::PathBuf;

use proptest::prelude::*;
use serde::Deserialize;
use wholestep::axis::{AnyAxis, AnyMechanism};
use wholestep::mechanism::{Linear, StepMode};
use wholestep::{Angle, ErrorKind, Exact, Length, Measure, Mechanism, Rounding};
use wholestep_files::{AxisFile, Caution, Document, Registry, keys, words};

fn repository() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn example(name: &str) -> AxisFile {
    let path = repository().join("examples/axes").join(name);
    AxisFile::open(path).unwrap_or_else(|error| panic!("{error}"))
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
        // 3200 ÷ 3 mm × 27 mm
        ("plunge_lift.toml", "27 mm", 28_800),
        // 3200 × 8 ÷ 1 in × (12 - 1/2) in
        ("stop_block.toml", "12 in", 294_400),
        // 6400 × 8 ÷ (30π mm) × 300 mm = 162,974.66…
        ("saw_fence.toml", "304 mm", 162_975),
        // 1600 × 3 ÷ 100 mm × 1000 mm
        ("belt_stop.toml", "1060 mm", 48_000),
        // 48,110.2257… by arc sine, arc tangent and the law of cosines in mpmath
        ("blade_height.toml", "35 mm", 48_110),
    ] {
        let file = example(name);
        let axis = file.length_axis().unwrap();
        let placed = axis.place(target.parse().unwrap(), Rounding::Nearest).unwrap();
        assert_eq!(placed.step(), step, "{name}");
        assert!(placed.is_decided(), "{name}");
    }
    for (name, target, step) in [
        // 400 × 60 ÷ 360 deg × 30 deg
        ("tilting_table.toml", "30 deg", 2_000),
        // 26,411.1604… by the law of cosines in mpmath
        ("blade_tilt.toml", "22.5 deg", 26_411),
    ] {
        let file = example(name);
        let placed = file.angle_axis().unwrap().place(target.parse().unwrap(), Rounding::Nearest);
        assert_eq!(placed.unwrap().step(), step, "{name}");
    }
    assert_eq!(examples().len(), 8, "an example without a check");
}

#[test]
fn what_an_example_says_of_itself() {
    let described: Vec<String> =
        examples().iter().map(|(name, _)| example(name).description().to_string()).collect();
    assert_eq!(
        described,
        [
            "belt: tooth pitch 5, pulley teeth 20",
            "swing arm: arm 150, pivot depth 135, blade diameter 250, nut along 90, anchor ahead 120, \
             anchor above -160, screw length 150, lead 4, raised by lengthening",
            "screw tilt: nut distance 180 mm, anchor distance 240 mm, screw length 200 mm, lead 4 mm, \
             tilted by lengthening, low stop -1, high stop 46",
            "lead screw: thread Tr12x3",
            "lead screw: pitch 3, starts 1",
            "rack: module 1.5, pinion teeth 20",
            "lead screw: thread 5/8-8 Acme",
            "rotary",
        ]
    );
}

#[derive(Deserialize)]
struct Vectors {
    good: String,
    case: Vec<Case>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    old: Option<String>,
    new: Option<String>,
    text: Option<String>,
    kind: String,
    line: usize,
    key: Option<String>,
    message: String,
}

impl Case {
    fn file(&self, good: &str) -> String {
        match (&self.text, &self.old, &self.new) {
            (Some(text), None, None) => text.clone(),
            (None, Some(old), Some(new)) => {
                assert!(good.contains(old.as_str()), "{}: nothing to replace", self.name);
                good.replacen(old.as_str(), new, 1)
            }
            _ => panic!("{}: neither a text nor a fault", self.name),
        }
    }
}

#[test]
fn every_fault_is_refused_with_its_line_its_key_and_its_words() {
    for (file, least) in [("axis_errors.toml", 80), ("fitted_errors.toml", 45)] {
        let text = std::fs::read_to_string(repository().join("tests/vectors").join(file)).unwrap();
        let vectors: Vectors = toml::from_str(&text).unwrap();
        AxisFile::from_toml(&vectors.good, &Registry::standard()).unwrap();
        assert!(vectors.case.len() > least);
        for case in &vectors.case {
            let error = AxisFile::from_toml(&case.file(&vectors.good), &Registry::standard()).unwrap_err();
            assert_eq!(error.to_string(), case.message, "{}", case.name);
            assert_eq!(error.kind().name(), case.kind, "{}", case.name);
            assert_eq!(error.line(), Some(case.line), "{}", case.name);
            assert_eq!(error.key(), case.key.as_deref(), "{}", case.name);
        }
    }
}

#[test]
fn an_error_names_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let load = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        let error = AxisFile::open(&path).unwrap_err();
        assert_eq!(error.file(), path.to_str());
        let message = error.to_string();
        (error, message.strip_prefix(path.to_str().unwrap()).unwrap().to_string())
    };
    let (error, message) = load("key.toml", b"version = 1\nnmae = \"Lift\"\n");
    assert_eq!((error.kind(), error.line(), error.key()), (ErrorKind::Key, Some(2), Some("nmae")));
    assert_eq!(message, ": line 2: `nmae`: unknown key: write `name`");
    let (error, message) = load("latin.toml", b"version = 1\n# M\xfcller\n");
    assert_eq!((error.kind(), error.line()), (ErrorKind::File, Some(2)));
    assert_eq!(message, ": line 2: file is not UTF-8 text: save it as UTF-8");
    let (error, _) = load("syntax.toml", b"version = 1\n\n= 3\n");
    assert_eq!((error.kind(), error.line()), (ErrorKind::Syntax, Some(3)));
    let (error, _) = load("large.toml", &vec![b'#'; (4 << 20) + 1]);
    assert_eq!(error.kind(), ErrorKind::File);

    let missing = folder.path().join("missing.toml");
    let error = AxisFile::open(&missing).unwrap_err();
    assert_eq!(error.kind(), ErrorKind::File);
    assert_eq!(
        error.to_string(),
        format!("{}: file not found: check the name and the folder", missing.display())
    );
    // ENOENT, and the same number on Windows.
    assert_eq!(error.os_error_of_file().unwrap().0, 2);
    assert_eq!(AxisFile::open(folder.path()).unwrap_err().kind(), ErrorKind::File);
}

fn lift(changes: &[(&str, &str)]) -> String {
    let mut text = std::fs::read_to_string(repository().join("examples/axes/router_lift.toml")).unwrap();
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    text
}

fn travel(text: &str) -> Exact {
    match AxisFile::from_toml(text, &Registry::standard()).unwrap_or_else(|error| panic!("{error}")).axis() {
        AnyAxis::Length(axis) => axis.mechanism().uniform_travel().unwrap(),
        AnyAxis::Angle(_) => panic!("not an angle"),
    }
}

#[test]
fn one_screw_in_every_spelling() {
    // A screw of 1/10 in lead on 3200 steps a turn: 2.54 ÷ 3200 mm.
    let expected = Exact::new(127, 160_000).unwrap();
    for parameters in [
        "pitch = \"0.1 in\"\nstarts = 1",
        "pitch = \"1.27\"\nstarts = 2",
        "lead = \"1/10 in\"",
        "threads_per_inch = 10",
        "threads_per_inch = \"20\"\nstarts = 2",
    ] {
        for step_mode in ["\"1/8\"", "8", "\"8\""] {
            let text = lift(&[("starts = 1 ", " "), ("pitch = \"3\"", parameters), ("\"1/8\"", step_mode)]);
            assert_eq!(travel(&text), expected, "{parameters} {step_mode}");
        }
    }
}

#[test]
fn pairs_of_teeth_multiply() {
    let teeth = |driver: &str, driven: &str| {
        let driver = format!("driver_teeth = {driver}");
        let driven = format!("driven_teeth = {driven}");
        travel(&lift(&[("driver_teeth = 20", &driver), ("driven_teeth = 40", &driven)]))
    };
    assert_eq!(teeth("20", "40"), Exact::new(3, 3_200).unwrap());
    assert_eq!(teeth("[20]", "[40]"), teeth("20", "40"));
    assert_eq!(teeth("[20, 15]", "[40, 60]"), Exact::new(3, 12_800).unwrap());
    assert_eq!(
        travel(&lift(&[("driver_teeth = 20", ""), ("driven_teeth = 40", "")])),
        Exact::new(3, 1_600).unwrap()
    );
}

#[test]
fn the_declared_unit_is_the_unit_of_every_bare_number() {
    let spelled_out = lift(&[("unit = \"mm\"", ""), ("pitch = \"3\"", "pitch = \"3 mm\"")]);
    let error = AxisFile::from_toml(&spelled_out, &Registry::standard()).unwrap_err();
    assert_eq!((error.kind(), error.key()), (ErrorKind::MissingUnit, Some("limits.low")));
    let inches =
        AxisFile::from_toml(&lift(&[("unit = \"mm\"", "unit = \"in\"")]), &Registry::standard()).unwrap();
    let axis = inches.length_axis().unwrap();
    assert_eq!(axis.config().high, "60 in".parse().unwrap());
    assert_eq!(axis.config().rates.speed, "8 in/s".parse().unwrap());
    assert_eq!(axis.unit(), wholestep::LengthUnit::Inch);
}

#[test]
fn what_is_left_out_has_its_stated_default() {
    let text = lift(&[
        ("approach = \"from_below\"", ""),
        ("backlash = \"0.15\"", ""),
        ("direction = \"normal\"", ""),
    ]);
    let file = AxisFile::from_toml(&text, &Registry::standard()).unwrap();
    let settings = *file.length_axis().unwrap().config();
    assert_eq!(settings.approach, wholestep::axis::Approach::Either);
    assert_eq!(settings.direction, wholestep::axis::MotorDirection::Normal);
    assert_eq!((settings.backlash, settings.step_zero_at), (Length::ZERO, Length::ZERO));
    assert_eq!(settings.rates.deceleration, settings.rates.acceleration);
    assert_eq!(settings.rates.start_speed.base(), Exact::ZERO);
    assert_eq!(settings.rates.jerk, None);
}

#[test]
fn another_step_mode_changes_the_step_and_nothing_else() {
    let file = example("router_lift.toml");
    let coarse = file.with_step_mode(StepMode::FULL).unwrap();
    let travel = |file: &AxisFile| file.length_axis().unwrap().mechanism().uniform_travel().unwrap();
    assert_eq!(travel(&coarse), travel(&file).checked_mul(Exact::integer(8)).unwrap());
    assert_eq!(coarse.length_axis().unwrap().config(), file.length_axis().unwrap().config());
    assert_eq!(coarse.drive_train().step_mode(), StepMode::FULL);
}

#[test]
fn ticks_are_enough_for_the_time() {
    // 2.5 µs at 1 MHz takes 3 ticks; 5 µs takes 5.
    let pulse = example("router_lift.toml").pulse();
    assert_eq!((pulse.ticks(pulse.pulse_high), pulse.ticks(pulse.direction_setup)), (Ok(3), Ok(5)));
}

keys! {
    /// A third party's kind: a table that a cam tilts by the same angle for each turn.
    struct Cam {
        /// Tilt of the table for a turn of the cam.
        tilt_per_turn: Angle,
        /// Lobes of the cam.
        lobes: Option<u32> = "1",
        /// The side of the table that it lifts.
        side: Side,
        /// Slots that the cam may be bolted to.
        slots: Vec<Length>,
        /// The spring that holds it down.
        spring: Spring,
    }
}

#[derive(Clone, Copy)]
enum Side {
    Left,
    Right,
}

impl Side {
    const ALL: [Self; 2] = [Self::Left, Self::Right];

    const fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

words! {
    Side: Self::ALL;
}

keys! {
    struct Spring {
        /// How far it reaches.
        reach: Length,
    }
}

fn with_cam() -> Registry {
    Registry::standard()
        .with("cam", |section, drive| {
            let cam: Cam = section.read()?;
            let reach = cam.slots.iter().fold(cam.spring.reach, |most, slot| most.max(*slot));
            assert!(reach > Length::ZERO, "the tests give positive lengths");
            let turn = drive.turns_per_step()?.checked_mul(cam.tilt_per_turn.base())?;
            let turn = turn.checked_mul(Exact::new(cam.lobes.unwrap_or(1).into(), 1)?)?;
            // A drive whose shaft turns as far as the cam tilts.
            let ratio = turn.checked_div(drive.turns_per_step()?)?.checked_div(Exact::integer(360))?;
            let side = if matches!(cam.side, Side::Left) { 1 } else { 2 };
            let driver = u32::try_from(ratio.numerator()).unwrap_or(0) * side;
            let driven = u32::try_from(ratio.denominator()).unwrap_or(0) * side;
            Ok(AnyMechanism::angle(Linear::rotary(drive.geared(driver, driven)?)?))
        })
        .unwrap()
}

fn cam(changes: &[(&str, &str)]) -> String {
    let mut text = String::from(
        r#"version = 1
name = "Cam"
kind = "cam"
unit = "deg"

[motor]
step_angle = "1.8"
step_mode = "full"

[mechanism]
tilt_per_turn = "9"
lobes = 2
side = "left"
slots = ["1/2 in", "12 mm"]
spring = { reach = "40 mm" }

[limits]
low = "0"
high = "9"

[motion]
speed = "5"
acceleration = "10"

[pulse]
timer_hz = 1000
direction_setup = "1 ms"
pulse_high = "1 ms"
pulse_low = "1 ms"
"#,
    );
    for (old, new) in changes {
        assert!(text.contains(old), "{old}");
        text = text.replace(old, new);
    }
    text
}

#[test]
fn a_kind_of_a_third_party_is_read_like_a_built_in_one() {
    let file = AxisFile::from_toml(&cam(&[]), &with_cam()).unwrap();
    // 200 steps tilt 2 × 9 deg.
    assert_eq!(file.angle_axis().unwrap().highest_step(), 100);
    assert_eq!(
        AxisFile::from_toml(&cam(&[]), &Registry::standard()).unwrap_err().to_string(),
        "line 3: `kind`: kind of mechanism “cam”: register the kind before reading the file; \
         known here: belt, drum, lead_screw, measured, rack, rotary, screw_tilt, swing_arm"
    );
}

#[test]
fn a_kind_of_a_third_party_has_the_same_errors() {
    for (change, message) in [
        (
            ("lobes = 2", "lobs = 2"),
            "line 12: `mechanism.lobs`: unknown key: write `lobes`; known here: tilt_per_turn, lobes, side, slots, spring",
        ),
        (
            ("lobes = 2", "lobes = 2.5"),
            "line 12: `mechanism.lobes`: wrong type “2.5”: write it like lobes = 1 under [mechanism]",
        ),
        (
            ("\"9\"\nlobes", "9.5\nlobes"),
            "line 11: `mechanism.tilt_per_turn`: angle “9.5”: write it in quotes: \"9.5 deg\"",
        ),
        (
            ("tilt_per_turn = \"9\"\n", ""),
            "line 10: `mechanism.tilt_per_turn`: missing: write it like tilt_per_turn = \"10 deg\" under [mechanism]",
        ),
        (
            ("side = \"left\"\n", ""),
            "line 10: `mechanism.side`: missing: write it like side = \"left\" or \"right\" under [mechanism]",
        ),
        (
            ("\"left\"", "\"leftt\""),
            "line 13: `mechanism.side`: unknown word “leftt”: write `left`; known here: left, right",
        ),
        (
            ("\"12 mm\"", "\"12 m m\""),
            "line 14: `mechanism.slots`: length “12 m m”, at character 6: write it like 23/32 in or 18.25 mm; give one number with one unit",
        ),
        (
            ("tilt_per_turn = \"9\"\nlobes = 2\nside = \"left\"\n", ""),
            "line 10: `mechanism`: missing: write them like tilt_per_turn = \"10 deg\", side = \"left\" or \"right\" under [mechanism]",
        ),
        (
            ("{ reach = \"40 mm\" }", "{ }"),
            "line 15: `mechanism.spring.reach`: missing: write it like reach = \"10 mm\" under [mechanism.spring]",
        ),
        (
            ("{ reach = \"40 mm\" }", "{ reach = 40 }"),
            "line 15: `mechanism.spring.reach`: length “40”: write it in quotes and with its unit, such as mm or in",
        ),
        (
            ("{ reach = \"40 mm\" }", "40"),
            "line 15: `mechanism.spring`: wrong type “40”: write a section [mechanism.spring]",
        ),
        (
            ("lobes = 2", "lobes = 20000000"),
            "line 10: `mechanism`: driver teeth 500000: 1 to 10000 is allowed",
        ),
    ] {
        let error = AxisFile::from_toml(&cam(&[change]), &with_cam()).unwrap_err();
        assert_eq!(error.to_string(), message);
    }
}

#[test]
fn a_kind_is_registered_once() {
    let error =
        with_cam().with("cam", |_, drive| Ok(AnyMechanism::angle(Linear::rotary(drive)?))).unwrap_err();
    assert_eq!(error.kind(), ErrorKind::Refused);
    assert!(Registry::standard().with("belt", |_, _| unreachable!()).is_err());
    for kind in ["", " ", "two words", "a\n"] {
        let error = Registry::standard().with(kind, |_, _| unreachable!()).map(|_| ()).unwrap_err();
        assert_eq!(error.kind(), ErrorKind::Syntax, "{kind:?}");
    }
    assert!(with_cam().kinds().eq([
        "belt",
        "cam",
        "drum",
        "lead_screw",
        "measured",
        "rack",
        "rotary",
        "screw_tilt",
        "swing_arm"
    ]));
}

#[test]
fn a_missing_key_in_the_second_of_several_sections_is_named_there() {
    keys! {
        #[derive(Debug)]
        struct Job {
            /// The parts.
            part: Vec<Part>,
        }
    }
    keys! {
        #[derive(Debug)]
        struct Part {
            /// What it is called.
            name: String,
            /// How long it is.
            length: Length,
        }
    }
    let text = "[[part]]\nname = \"side\"\nlength = \"1 m\"\n\n[[part]]\nname = \"bottom\"\n";
    let error = Document::from_toml(text).unwrap().root().read::<Job>().unwrap_err();
    assert_eq!(
        error.to_string(),
        "line 5: `part.length`: missing: write it like length = \"10 mm\" under [[part]]"
    );
}

#[test]
fn a_new_file_is_read_back_as_it_was_answered() {
    use wholestep_files::{NewAxis, Template};
    for machine in Template::ALL {
        assert_eq!(Template::read(machine.name()), Ok(machine));
        let suggested = NewAxis::new(machine).text().unwrap();
        let file = AxisFile::from_toml(&suggested, &Registry::standard()).unwrap();
        // The play of a stop or a fence is to be measured, so that it arrives toward the blade.
        let cautions: Vec<&str> = file.cautions().iter().map(Caution::key).collect();
        let arrives = matches!(machine, Template::Stop | Template::Fence);
        assert_eq!(cautions, if arrives { &["motion.approach"][..] } else { &[] }, "{}", machine.name());
        assert!(suggested.contains("CAUTION"));

        let mut new = NewAxis::new(machine);
        if matches!(machine, Template::Tilt | Template::Table) {
            for (key, answer) in [("unit", "degrees"), ("low", "1/2"), ("high", "40"), ("speed", "0.5")] {
                new.answer(key, answer).unwrap();
            }
            assert_eq!(new.answer("high", "3 mm").unwrap_err().kind(), ErrorKind::Unit);
            let file = AxisFile::from_toml(&new.text().unwrap(), &Registry::standard()).unwrap();
            let settings = *file.angle_axis().unwrap().config();
            assert_eq!(
                (settings.low, settings.high),
                ("1/2 deg".parse().unwrap(), "40 deg".parse().unwrap())
            );
            assert_eq!(settings.rates.speed, "0.5 deg/s".parse().unwrap());
            continue;
        }
        new.answer("unit", "inches").unwrap();
        // A swing arm ends where its screw does.
        let (high, speed) = if machine == Template::Blade { ("2-1/2", "0.2") } else { ("7-1/2", "0.5") };
        new.answer("name", "The \"old\" one\\").unwrap();
        for (key, answer) in [("low", "1/2"), ("high", high), ("speed", speed), ("step_mode", "full")] {
            new.answer(key, answer).unwrap();
        }
        let file = AxisFile::from_toml(&new.text().unwrap(), &Registry::standard()).unwrap();
        let settings = *file.length_axis().unwrap().config();
        assert_eq!(file.name(), "The \"old\" one\\");
        assert_eq!(settings.low, "1/2 in".parse().unwrap());
        assert_eq!(settings.high, format!("{high} in").parse().unwrap());
        assert_eq!(settings.rates.speed, format!("{speed} in/s").parse().unwrap());
        assert_eq!(file.drive_train().step_mode(), StepMode::FULL);
    }
    assert_eq!(Template::read("lfit").unwrap_err().kind(), ErrorKind::UnknownKind);
}

#[test]
fn a_wrong_answer_is_refused_at_once_and_a_wrong_whole_before_it_is_written() {
    use wholestep_files::{NewAxis, Template};
    let mut lift = NewAxis::new(Template::Lift);
    for (key, answer, kind) in [
        ("pich", "3 mm", ErrorKind::Key),
        ("pitch", "3 deg", ErrorKind::Unit),
        ("starts", "1.5", ErrorKind::Syntax),
        ("name", "", ErrorKind::OutOfRange),
        ("unit", "mil", ErrorKind::Unit),
        ("step_angle", "1.8", ErrorKind::MissingUnit),
        ("step_mode", "fine", ErrorKind::Syntax),
        ("acceleration", "3 mm/s", ErrorKind::Unit),
    ] {
        assert_eq!(lift.answer(key, answer).unwrap_err().kind(), kind, "{key} {answer}");
    }
    let mut tilt = NewAxis::new(Template::Tilt);
    for (key, answer, kind) in [
        ("unit", "mm", ErrorKind::Unit),
        ("tilted_by", "longer", ErrorKind::Key),
        ("lead", "4", ErrorKind::MissingUnit),
        ("lead", "4 deg", ErrorKind::Unit),
        ("low_stop", "nan", ErrorKind::Syntax),
        ("speed", "3 mm/s", ErrorKind::Unit),
        ("driven_teeth", "60", ErrorKind::Key),
    ] {
        assert_eq!(tilt.answer(key, answer).unwrap_err().kind(), kind, "{key} {answer}");
    }
    lift.answer("high", "-5 mm").unwrap();
    assert_eq!(lift.text().unwrap_err().key(), Some("limits.low"));
}

#[test]
fn a_file_is_written_whole_or_not_at_all() {
    use wholestep_files::{Existing, write_whole};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("lift.toml");
    let files = || std::fs::read_dir(folder.path()).unwrap().count();
    write_whole(&path, "one", Existing::Keep).unwrap();
    assert_eq!(write_whole(&path, "two", Existing::Keep).unwrap_err().kind(), ErrorKind::File);
    assert_eq!((std::fs::read_to_string(&path).unwrap().as_str(), files()), ("one", 1));
    write_whole(&path, "two", Existing::Replace).unwrap();
    assert_eq!((std::fs::read_to_string(&path).unwrap().as_str(), files()), ("two", 1));
    let nowhere = folder.path().join("nowhere/lift.toml");
    let error = write_whole(&nowhere, "three", Existing::Replace).unwrap_err();
    assert_eq!((error.kind(), error.file()), (ErrorKind::File, nowhere.to_str()));
    assert_eq!(files(), 1);
}

#[cfg(unix)]
#[test]
fn a_replaced_file_keeps_its_link_and_its_permissions() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    use wholestep_files::{Existing, write_whole};
    let folder = tempfile::tempdir().unwrap();
    let (file, link) = (folder.path().join("file"), folder.path().join("link"));
    std::fs::write(&file, "one").unwrap();
    std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o664)).unwrap();
    symlink(&file, &link).unwrap();
    write_whole(&link, "two", Existing::Replace).unwrap();
    assert!(link.is_symlink());
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "two");
    assert_eq!(std::fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o664);
}

proptest! {
    #[test]
    fn no_text_panics(text in "(\\PC|\\n){0,400}") {
        if let Err(error) = AxisFile::from_toml(&text, &Registry::standard()) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn no_toml_like_text_panics(
        lines in prop::collection::vec(("[a-z_\\[\\]\\.]{1,12}", "( = )?", "\\PC{0,20}"), 0..20)
    ) {
        let lines: Vec<String> = lines.iter().map(|(key, is, value)| format!("{key}{is}{value}")).collect();
        let text = lines.join("\n");
        let _ = AxisFile::from_toml(&text, &Registry::standard());
    }

    #[test]
    fn no_change_of_an_example_panics(
        which in 0_usize..7,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), "\\PC{0,3}"), 1..6)
    ) {
        let mut text: Vec<char> = examples()[which].1.chars().collect();
        for (from, length, put) in changes {
            let from = from.index(text.len());
            let to = (from + length.index(8)).min(text.len());
            text.splice(from..to, put.chars());
        }
        let text: String = text.into_iter().collect();
        if let Err(error) = AxisFile::from_toml(&text, &Registry::standard()) {
            prop_assert!(error.line().is_some(), "{}", error);
        }
    }

    #[test]
    fn no_exchange_of_values_panics(
        which in 0_usize..7,
        swaps in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>()), 1..4)
    ) {
        let mut lines: Vec<String> = examples()[which].1.lines().map(str::to_string).collect();
        for (one, other) in swaps {
            let (one, other) = (one.index(lines.len()), other.index(lines.len()));
            let value = |line: &str| line.split_once(" = ").map(|(_, value)| value.to_string());
            if let (Some((key, _)), Some(value)) = (lines[one].split_once(" = "), value(&lines[other])) {
                lines[one] = format!("{key} = {value}");
            }
        }
        if let Err(error) = AxisFile::from_toml(&lines.join("\n"), &Registry::standard()) {
            prop_assert!(error.line().is_some() && error.key().is_some(), "{}", error);
        }
    }
}
