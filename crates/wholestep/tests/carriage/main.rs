//! The live axis through its public interface, on a tiny deterministic machine.

mod bench;
mod commission;
mod config;
mod contacts;
mod datum;
mod dial;
mod equipment;
mod guards;
mod hand;
mod pins;
mod properties;
mod requests;
mod retarget;
mod seams;
mod stops;
mod targets;
mod time;
mod touch;
mod travel;
mod words;
mod world;
