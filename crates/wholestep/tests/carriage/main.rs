//! The live axis through its public interface, on a tiny deterministic machine.

mod commission;
mod datum;
mod hand;
mod properties;
mod requests;
mod retarget;
mod time;
mod touch;
mod travel;
mod world;
