//! What is shipped: axis files and job files, found by walking `examples`, and what `new` writes.

use std::fs;
use std::path::{Path, PathBuf};

use wholestep_files::{AxisFile, Document, NewAxis, Registry, Template};

const EXAMPLES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../examples");
/// For what the matrix writes itself.
const SCRATCH: &str = concat!(env!("CARGO_TARGET_TMPDIR"), "/acceptance");

/// An axis file, or a variant of one.
pub(crate) struct Shipped {
    /// As rows call it.
    pub(crate) name: String,
    pub(crate) path: String,
    pub(crate) file: AxisFile,
}

/// The built-in kinds and the third party's in Rust.
pub(crate) fn registry() -> Registry {
    scissor_table::registry().expect("the kind's name is its own")
}

/// Every axis file of a kind known in Rust, and one of each machine that `new` writes.
pub(crate) fn axes() -> Vec<Shipped> {
    let registry = registry();
    let mut axes = Vec::new();
    for path in sorted("kind") {
        let document = Document::load(&path).expect("it is read");
        let mut root = document.root();
        let kind: String = root.required("kind").expect("it has a kind");
        if registry.kinds().any(|known| known == kind) {
            axes.push(load(&path, &name_of(&path), &registry));
        } else {
            // A kind that a Python package offers; its matrix is the Python one.
            assert!(
                path.with_file_name("pyproject.toml").is_file(),
                "nobody offers {kind}: {}",
                path.display()
            );
        }
    }
    for machine in Template::ALL {
        let text = NewAxis::new(machine).text().expect("every question has a suggestion");
        let name = format!("new {}", machine.name());
        axes.push(load(&write(&format!("new-{}.toml", machine.name()), &text), &name, &registry));
    }
    axes
}

/// Every job file.
pub(crate) fn jobs() -> Vec<PathBuf> {
    sorted("axis")
}

/// A file of the matrix's own, beside others of the same name by other tests.
pub(crate) fn write(name: &str, text: &str) -> PathBuf {
    let folder = Path::new(SCRATCH).join(std::thread::current().name().unwrap_or("test").replace("::", "-"));
    fs::create_dir_all(&folder).expect("the scratch folder can be made");
    let path = folder.join(name);
    fs::write(&path, text).expect("the file can be written");
    path
}

/// Where nothing has been written yet.
pub(crate) fn nothing(name: &str) -> String {
    let path = write(name, "");
    fs::remove_file(&path).expect("it has just been written");
    path.display().to_string()
}

fn load(path: &Path, name: &str, registry: &Registry) -> Shipped {
    let file = AxisFile::load(path, registry).unwrap_or_else(|error| panic!("{error}"));
    Shipped { name: name.into(), path: path.display().to_string(), file }
}

/// A file's name and its folder's.
fn name_of(path: &Path) -> String {
    let folder = path.parent().and_then(Path::file_name).unwrap_or_default().to_string_lossy();
    format!("{folder}/{}", path.file_name().unwrap_or_default().to_string_lossy())
}

/// Files of the examples that have `key` at their root. A file that is neither an axis nor a job, and no
/// manifest, is one that the matrix does not know.
fn sorted(key: &str) -> Vec<PathBuf> {
    let mut files = Vec::new();
    walk(Path::new(EXAMPLES), &mut files);
    files.sort();
    files.retain(|path| {
        let document = Document::load(path).unwrap_or_else(|error| panic!("{error}"));
        let keys: Vec<&str> = document.root().keys().collect();
        assert!(keys.contains(&"kind") || keys.contains(&"axis"), "{} is in no row", path.display());
        keys.contains(&key)
    });
    assert!(!files.is_empty());
    files
}

fn walk(folder: &Path, files: &mut Vec<PathBuf>) {
    const MANIFESTS: [&str; 2] = ["Cargo.toml", "pyproject.toml"];
    for entry in fs::read_dir(folder).expect("the folder is read") {
        let path = entry.expect("the folder is read").path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            walk(&path, files);
        } else if path.extension().is_some_and(|end| end == "toml") && !MANIFESTS.contains(&name.as_str()) {
            files.push(path);
        }
    }
}
