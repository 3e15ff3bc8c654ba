//! The live axis through its public interface, on a tiny deterministic machine.

mod datum;
mod travel;
mod world;
