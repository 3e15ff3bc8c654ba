//! The live axis through its public interface, on a tiny deterministic machine.

mod commission;
mod configuration;
mod datum;
mod dial;
mod equipment;
mod hand;
mod properties;
mod repeatability;
mod requests;
mod stops;
mod targets;
mod time;
mod touch;
mod travel;
mod words;
mod world;
