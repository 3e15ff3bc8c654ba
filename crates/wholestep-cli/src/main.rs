//! The `wholestep` command.
fn main() {}
