//! What explains a travel that is not the expected one.

use wholestep::Exact;
use wholestep_files::{AxisFile, Registry};

/// A stop block that goes twice as far as its thread says.
#[test]
fn a_wrong_thread_is_among_what_explains_a_travel() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/axes/stop_block.toml");
    let file = AxisFile::load(path, &Registry::standard()).unwrap();
    let explained = file.explain(Exact::integer(2), Exact::new(1, 50).unwrap()).unwrap();
    let thread = explained.iter().find(|one| one.key == "thread").unwrap();
    assert_eq!((thread.says.as_str(), thread.fits.as_str()), ("5/8-8 Acme", "a lead of 0.25 in"));
}
