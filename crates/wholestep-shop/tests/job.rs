//! Job files: the examples, and every refusal with its file, line and key.

use std::fs;
use std::path::{Path, PathBuf};

use wholestep::{ErrorKind, Exact};
use wholestep_files::Registry;
use wholestep_shop::Job;
use wholestep_shop::cut_list::Reason;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs")
}

#[test]
fn the_drawer_boxes_are_cut() {
    let job = Job::load(examples().join("drawer_boxes.toml"), &Registry::standard()).unwrap();
    assert_eq!(job.name(), "Drawer boxes");
    let cuts = job.cuts().unwrap();
    assert!(cuts.unplaced.is_empty() && cuts.totals.by_hand == 0 && cuts.totals.proven);
    assert_eq!(cuts.cuts.len(), 37);
    // The plinth side's short points are 306 apart, and each mitre reaches the width of 95 beyond.
    let side = cuts.cuts.iter().find(|cut| cut.part == "plinth side").unwrap();
    assert_eq!(side.setting.stop.low.to_string(), "496 mm");
    // 22 pins: the outer ones stand (700 − 21 × 32) ÷ 2 from the ends.
    assert_eq!(
        (cuts.marks[0].marks.len(), cuts.marks[0].marks[0].stop.low.to_string().as_str()),
        (22, "14 mm")
    );
}

#[test]
fn the_bench_slats_are_cut_and_the_long_ones_set_by_hand() {
    let job = Job::load(examples().join("bench_slats.toml"), &Registry::standard()).unwrap();
    let list = job.cut_list().unwrap();
    assert_eq!(list.parts.iter().map(|part| part.quantity).sum::<u32>(), 56);
    let cuts = job.cuts().unwrap();
    assert!(cuts.unplaced.is_empty(), "{:?}", cuts.unplaced);
    // 14 slats of 48 in and 2 stretchers of 44-1/2 in lie past the 36 in of the stop's travel.
    assert_eq!(cuts.totals.by_hand, 16);
    for cut in &cuts.cuts {
        assert_eq!(cut.setting.by_hand.is_some(), ["slat", "stretcher"].contains(&cut.part.as_str()));
    }
    let of = |name: &str| cuts.cuts.iter().find(|cut| cut.part == name).unwrap().setting.placement.clone();
    assert_eq!(of("leg"), of("seat rail"));
}

/// A folder with an axis file, a job and its parts.
struct Folder(tempfile::TempDir);

impl Folder {
    fn new(job: &str, csv: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::copy(examples().join("../axes/stop_block.toml"), folder.path().join("stop.toml")).unwrap();
        fs::copy(examples().join("../axes/tilting_table.toml"), folder.path().join("table.toml")).unwrap();
        fs::copy(examples().join("../axes/router_lift.toml"), folder.path().join("lift.toml")).unwrap();
        fs::write(folder.path().join("job.toml"), job).unwrap();
        fs::write(folder.path().join("parts.csv"), csv).unwrap();
        Self(folder)
    }

    fn load(&self) -> wholestep::Result<Job> {
        Job::load(self.0.path().join("job.toml"), &Registry::standard())
    }

    /// The error without the name of the folder.
    fn refusal(&self) -> (ErrorKind, String) {
        let error = self.load().expect_err("a refusal");
        (error.kind(), error.to_string().replace(&format!("{}/", self.0.path().display()), ""))
    }
}

const HEAD: &str = "version = 1\nname = \"Shelf\"\naxis = \"stop.toml\"\nunit = \"in\"\n";
const CUTS: &str = "[cut_list]\nkerf = \"1/8\"\nparts = \"parts.csv\"\n[[cut_list.stock]]\nlength = \"96\"\n";

#[derive(serde::Deserialize)]
struct Vectors {
    good: String,
    case: Vec<Case>,
}

#[derive(serde::Deserialize)]
struct Case {
    name: String,
    old: String,
    new: String,
    kind: String,
    line: usize,
    key: String,
    message: String,
}

/// Every case of `vectors` is refused as it says; the file of parts holds `parts`.
fn all_refused(vectors: &str, parts: &str) -> Job {
    let text = fs::read_to_string(examples().join("../../tests/vectors").join(vectors)).unwrap();
    let vectors: Vectors = toml::from_str(&text).unwrap();
    assert!(vectors.case.len() > 20);
    for case in &vectors.case {
        assert!(vectors.good.contains(&case.old), "{}: nothing to replace", case.name);
        let folder = Folder::new(&vectors.good.replacen(&case.old, &case.new, 1), parts);
        let error = folder.load().expect_err(&case.name);
        assert_eq!(folder.refusal().1, format!("job.toml: {}", case.message), "{}", case.name);
        assert_eq!(error.kind().name(), case.kind, "{}", case.name);
        assert_eq!((error.line(), error.key()), (Some(case.line), Some(case.key.as_str())), "{}", case.name);
    }
    Folder::new(&vectors.good, parts).load().unwrap()
}

#[test]
fn a_move_or_a_touch_off_that_is_wrong_is_refused_with_its_line_its_key_and_its_words() {
    let job = all_refused("job_errors.toml", "");
    assert_eq!((job.moves().len(), job.touch_off().map(wholestep::Placement::step)), (2, Some(6_773)));
}

#[test]
fn a_cut_list_that_is_wrong_is_refused_with_its_line_its_key_and_its_words() {
    let job = all_refused("cut_list_errors.toml", "name,length\nrail,12\n");
    let list = job.cut_list().unwrap();
    assert_eq!(list.kerf_error, "0.001 in".parse().unwrap());
    assert_eq!(list.stop_gap, Some("1 mm".parse().unwrap()));
}

#[test]
fn a_touch_off_needs_a_probe_and_every_stop_is_listed() {
    let touch = "version = 1\nname = \"Housing\"\naxis = \"stop.toml\"\n[touch_off]\ngauge = \"1 in\"\n";
    let (kind, message) = Folder::new(touch, "").refusal();
    assert_eq!(kind, ErrorKind::Job);
    assert!(message.starts_with("job.toml: line 4: `touch_off`: touch off at a gauge"), "{message}");
    assert!(
        message.contains("write a section [touch_off] with probe and within in the axis file"),
        "{message}"
    );

    let job = Job::load(examples().join("bench_slats.toml"), &Registry::standard()).unwrap();
    let stops = job.stops().unwrap();
    assert_eq!((stops.by_hand.len(), stops.stops.len() + 16), (16, job.cuts().unwrap().cuts.len()));
    let job = Job::load(examples().join("lap_joint.toml"), &Registry::standard()).unwrap();
    let steps: Vec<i64> = job.stops().unwrap().stops.iter().map(|stop| stop.step).collect();
    assert_eq!(steps, [11_081, 8_128, -13_547, 11_081, 8_128, -40_640]);
    let nowhere = Folder::new("version = 1\nname = \"Rest\"\naxis = \"stop.toml\"\n", "").load().unwrap();
    assert_eq!(nowhere.stops().unwrap_err().kind(), ErrorKind::Job);
}

#[test]
fn parts_from_a_spreadsheet_say_what_is_wrong_and_where() {
    let cases = [
        ("", ErrorKind::Key, "parts.csv: line 1: `name`: missing column"),
        ("name\nrail\n", ErrorKind::Key, "parts.csv: line 1: `length`: missing column"),
        (
            "name;length\nrail;12\n",
            ErrorKind::Key,
            "parts.csv: line 1: unknown column “name;length”: known here: name, ",
        ),
        ("name,length,length\n", ErrorKind::Key, "parts.csv: line 1: `length`: column given twice"),
        ("name,length (mil)\n", ErrorKind::Unit, "parts.csv: line 1: `length`: "),
        ("name,length,quantity (in)\n", ErrorKind::Unit, "parts.csv: line 1: `quantity`: unit of a column"),
        (
            "name,length\nrail,12\nslat\n",
            ErrorKind::Syntax,
            "parts.csv: line 3: row of a wrong number of columns: it has 1",
        ),
        (
            "name,length\n\n\r\nslat,10\n\nrail,1O\n",
            ErrorKind::Unit,
            "parts.csv: line 6: `length`: length “1O”",
        ),
        ("name,length\nrail,\n", ErrorKind::Syntax, "parts.csv: line 2: `length`: "),
        (
            "name,length\nrail,0\n",
            ErrorKind::OutOfRange,
            "parts.csv: line 2: `length`: part “rail”: length 0 in: give a length above 0",
        ),
        ("name,length\n,12\n", ErrorKind::OutOfRange, "parts.csv: line 2: `name`: "),
        (
            "name,length,quantity\nrail,12,two\n",
            ErrorKind::Syntax,
            "parts.csv: line 2: `quantity`: quantity “two”",
        ),
        ("name,length,quantity\nrail,12,1.5\n", ErrorKind::Syntax, "parts.csv: line 2: `quantity`: "),
        (
            "name,length,quantity\nrail,12,0\n",
            ErrorKind::OutOfRange,
            "parts.csv: line 2: `quantity`: part “rail”: quantity 0",
        ),
        ("name,length,left\nrail,12,45\n", ErrorKind::MissingUnit, "parts.csv: line 2: `left`: "),
        (
            "name,length,left\nrail,12,80 deg\n",
            ErrorKind::OutOfRange,
            "parts.csv: line 2: `left`: part “rail”: mitre from square 80 deg",
        ),
        ("name,length,measured_to\nrail,12,tip\n", ErrorKind::Syntax, "parts.csv: line 2: `measured_to`: "),
        (
            "name,length\nrail,12\n\"slat,12\n",
            ErrorKind::Syntax,
            "parts.csv: line 3: row of a wrong number of columns",
        ),
    ];
    for (csv, kind, text) in cases {
        let (refused, message) = Folder::new(&format!("{HEAD}{CUTS}"), csv).refusal();
        assert!(message.starts_with(text), "{message}\nis not\n{text}");
        assert_eq!(refused, kind, "{message}");
    }
}

#[test]
fn a_unit_stands_in_the_value_the_column_or_the_job() {
    let csv = "\u{feff}Name, Length (mm) ,Quantity,left (deg),Measured to\r\n\
               a,254,,,\r\n\"b, long\",10 in,3,45,short_point\r\n";
    let job = format!("{HEAD}{}", CUTS.replace("kerf", "width = \"2\"\nkerf"));
    let folder = Folder::new(&job, csv);
    let job = folder.load().unwrap();
    let parts = &job.cut_list().unwrap().parts;
    assert_eq!(parts[0].length, parts[1].length);
    assert_eq!((parts[0].quantity, parts[1].quantity, parts[1].name.as_str()), (1, 3, "b, long"));
    let cuts = job.cuts().unwrap();
    assert_eq!(cuts.cuts[0].setting.stop.low.to_string(), "12 in");
}

#[test]
fn a_part_longer_than_the_stock_is_listed() {
    let job = Folder::new(&format!("{HEAD}{CUTS}"), "name,length\nbeam,120\nrail,12\n").load().unwrap();
    let cuts = job.cuts().unwrap();
    assert_eq!(
        (cuts.cuts.len(), cuts.unplaced[0].part.as_str(), cuts.unplaced[0].reason),
        (1, "beam", Reason::TooLong)
    );
}

#[test]
fn every_move_of_the_stop_is_planned() {
    let cuts = Job::load(examples().join("tool_tray.toml"), &Registry::standard()).unwrap().cuts().unwrap();
    let mut before = None;
    let mut seconds = Exact::ZERO;
    for cut in &cuts.cuts {
        let step = cut.setting.placement.as_ref().unwrap().step;
        let moved = before.replace(step).map_or(0, |before| step - before);
        assert_eq!(cut.stop_move.map_or(0, |stop_move| stop_move.steps), moved, "cut {}", cut.number);
        if let Some(stop_move) = cut.stop_move {
            // The file's timer makes a million ticks a second.
            assert_eq!(stop_move.seconds.0, Exact::new(stop_move.ticks.into(), 1_000_000).unwrap());
            seconds = seconds.checked_add(stop_move.seconds.0).unwrap();
        }
    }
    assert_eq!(cuts.cuts.iter().filter(|cut| cut.stop_move.is_some()).count(), cuts.totals.stop_moves);
    assert_eq!(cuts.totals.seconds_moving.unwrap().0, seconds);
}

/// The stop comes from above, and past 35.995 in its limit of 36 in leaves less room than the
/// backlash of 0.008 in: that move cannot be planned, and the total says that it leaves one out.
#[test]
fn a_total_that_leaves_a_move_out_says_so() {
    let parts = "name,length\nlong,35.995\nshort,10\nmiddle,20\n";
    let cut_list = format!("{HEAD}{CUTS}").replace("[cut_list]", "[cut_list]\nfinish_each_piece = false");
    let cuts = Folder::new(&cut_list, parts).load().unwrap().cuts().unwrap();
    let known = cuts.cuts.iter().filter(|cut| cut.stop_move.is_some()).count();
    assert_eq!((known, cuts.totals.stop_moves, cuts.totals.moves_without_time), (1, 2, 1));
    let why = &cuts.cuts[2].warnings[0];
    assert!(why.starts_with("the stop's move cannot be planned: ") && why.contains("36 in"), "{why}");
}

/// Into the work only on an axis whose file says that it raises a cutter; what is not said is not assumed.
#[test]
fn a_plunge_wants_an_axis_that_says_it_stands_upright() {
    let axis = std::fs::read_to_string(examples().join("../axes/router_lift.toml")).unwrap();
    assert!(axis.contains("upright = true\n"));
    let job = "version = 1\nname = \"Mortise\"\naxis = \"lift.toml\"\n\
               [[move]]\nname = \"below\"\nto = \"-1 mm\"\n\
               [[move]]\nname = \"pass\"\nto = \"2 mm\"\nspeed = \"1 mm/s\"\nplunge = true\n\
               pass_depth = \"3 mm\"\nwork = \"clamped\"\nend_cutting = true\n";
    for (upright, allowed) in [("upright = true\n", true), ("upright = false\n", false), ("", false)] {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("lift.toml"), axis.replace("upright = true\n", upright)).unwrap();
        std::fs::write(folder.path().join("job.toml"), job).unwrap();
        let loaded = Job::load(folder.path().join("job.toml"), &Registry::standard());
        match loaded {
            Ok(_) => assert!(allowed, "{upright}"),
            Err(error) => {
                assert!(!allowed, "{error}");
                assert!(error.to_string().contains("plunge of an axis that raises no cutter"), "{error}");
            }
        }
    }
}
