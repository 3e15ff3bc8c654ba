//! The acceptance matrix: every axis file, job file and kind of mechanism that is shipped × everything
//! that takes one × random targets within the limits, every side of arrival, zeros at odd places and
//! units unlike the axis's own.
//!
//! Nothing within the limits is refused, and each answer is recomputed here, in integers of any size,
//! from where the mechanism says its steps stand. The matrix grows by itself: files are found by walking
//! `examples`, verbs and their options are read from the command's own definition, and what is neither in
//! a row nor excused fails. The Python package has the same matrix in `test_acceptance.py`, which reads
//! the command's answers too; so Rust, Python and the command agree.
//!
//! `ACCEPTANCE_MOVES` sets how many moves each axis file makes, 2,000 if it is not set, and
//! `ACCEPTANCE_SEED` where chance begins.

mod calibrate;
mod calls;
mod cells;
mod chance;
mod command;
mod dimension;
mod effort;
mod files;
mod float;
mod jobs;
mod lives;
mod moves;
mod placements;
mod shipped;
mod study;
mod truth;
mod zeros;
