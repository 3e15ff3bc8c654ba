//! What is refused in the figures of an effort, from the vectors that Python reads too.

use serde::Deserialize;
use wholestep::exact;
use wholestep_files::{AxisFile, Registry};
use wholestep_shop::Effort;

#[derive(Deserialize)]
struct Vectors {
    good: String,
    case: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    old: String,
    new: String,
    and_old: Option<String>,
    and_new: Option<String>,
    kind: String,
    line: usize,
    key: String,
    message: String,
}

impl Case {
    fn file(&self, good: &str) -> String {
        let text = replaced(good, &self.old, &self.new);
        match (&self.and_old, &self.and_new) {
            (Some(old), Some(new)) => replaced(&text, old, new),
            _ => text,
        }
    }
}

fn replaced(text: &str, old: &str, new: &str) -> String {
    assert!(text.contains(old), "nothing to replace: {old}");
    text.replacen(old, new, 1)
}

#[test]
fn every_fault_is_refused_with_its_line_its_key_and_its_words() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/vectors/effort_errors.toml");
    let vectors: Vectors = toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let effort = |text: &str| {
        AxisFile::from_toml(text, &Registry::standard()).and_then(|file| Effort::new(&file, exact!(1 / 2)))
    };
    effort(&vectors.good).unwrap();
    assert!(vectors.case.len() > 38);
    for case in &vectors.case {
        let error = effort(&case.file(&vectors.good)).unwrap_err();
        assert_eq!(error.to_string(), case.message, "{}", case.name);
        assert_eq!(error.kind().name(), case.kind, "{}", case.name);
        assert_eq!((error.line(), error.key()), (Some(case.line), Some(&*case.key)), "{}", case.name);
    }
}
