//! What can be asked on the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use wholestep::Rounding;

const CAUTION: &str = "\
Write a measure with its unit, in quotes:
  \"23/32 in\"  \"1-3/8\\\"\"  \"18.25 mm\"  \"22.5 deg\"

wholestep help files lists every key of axis and job files.

A motor that starts, a spinning cutter and the mains can hurt you. Isolate the machine before you \
reach into it, keep guards on, and follow the makers' manuals and the rules where you work. Soft \
limits and switches are not safety devices.";

/// Exact positions for stepper-driven shop axes.
#[derive(Debug, Parser)]
#[command(name = "wholestep", version, after_help = CAUTION, arg_required_else_help = true)]
pub(crate) struct Arguments {
    /// Answer in JSON, for programs
    #[arg(long, global = true)]
    pub json: bool,
    #[command(subcommand)]
    pub task: Task,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Task {
    /// Write a commented axis file from a handful of answers
    New(New),
    /// Show what an axis can hold: travel of a step, exact marks, worst remainders, step modes
    Describe(Describe),
    /// Turn targets into whole steps and exact remainders
    Place(Place),
    /// Work out a cut list: stop positions, steps, remainders and what is left
    Cuts(Cuts),
    /// Work out a saw's kerf from a board and the pieces that it was cut into
    Kerf(Kerf),
    /// Show how long a move takes, leg by leg
    Time(Time),
    /// Say whether the motor lifts its load, whether it stays put, and how fast it may go
    #[command(after_help = "\
The figures stand in the axis file, under [machine], [springs] and [effort]; each may be a range.\n\n\
Exit status: 0 if it lifts with the margin; 1 if it does not, may not, or the file tells too little of the motor; 2 \
if it was refused.")]
    Effort(Effort),
    /// Hold an axis against readings of a gauge: scale, zero, play, and how many more would settle it
    #[command(after_help = "\
The CSV file begins with the names of its columns: asked, where the axis was sent; read, what the gauge showed; and \
way, up or down, the way it came there. A unit may stand in the name, as in read (in).\n\n\
Exit status: 0 if the axis goes where it is asked to, as far as the readings tell; 1 if it does not; 2 if it was \
refused.")]
    Calibrate(Calibrate),
    /// Go through a machine's first power-up, on a simulated one: inputs, direction, travel, datum
    Commission(Commission),
    /// Run a job on a simulated machine before a cutter spins
    #[command(after_help = "\
Exit status: 0 if the whole job went as written; 1 if a fault stopped it, it lost steps or it ran into an end \
stop; 2 if it was refused.")]
    Rehearse(Rehearse),
}

// Texts with a keyword in them are not doc comments, in which a lint wants backticks that a terminal
// then shows.

const FAULT: &str = "\
A fault of the machine and when it comes, such as stall@4s; with + and a time it passes again, as in \
drive_fault@3s+500ms. Give the option again for another one";

const REALLY: &str = "\
What differs in the simulated machine from the file: a key of the file, such as step_mode=1/16, \
motion.direction=reversed or switches.low=normally_open, or what was exchanged, such as exchanged=switches, \
exchanged=dial or exchanged=rocker. Give the option again for another one";

#[derive(Debug, Args)]
pub(crate) struct Commission {
    /// The axis file
    pub axis: PathBuf,
    /// An answer given beforehand, such as nudge=high (or low, or none) or travel=10mm; repeat it for others
    #[arg(long = "set", value_name = "KEY=ANSWER")]
    pub answers: Vec<String>,
    /// Answer every question not answered with --set as the simulated machine shows
    #[arg(long)]
    pub suggested: bool,
    #[arg(long, value_name = "KEY=ANSWER", help = REALLY)]
    pub really: Vec<String>,
    /// Seed of the simulated machine: the same seed gives the same machine
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    #[arg(long = "fault", value_name = "NAME@TIME[+TIME]", help = FAULT)]
    pub faults: Vec<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Effort {
    /// The axis file
    pub axis: PathBuf,
    /// The part of the motor's torque that is to be to spare: 50%, or 1/2
    #[arg(long, value_name = "PART", default_value = "50%")]
    pub margin: String,
    /// Draw the torque available and needed against speed, as SVG
    #[arg(long, value_name = "PATH")]
    pub plot: Option<PathBuf>,
    /// Replace the drawing if it exists
    #[arg(long, requires = "plot")]
    pub replace: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Calibrate {
    /// The axis file
    pub axis: PathBuf,
    /// The CSV file of readings
    pub readings: PathBuf,
    /// The smallest difference that the gauge shows, such as 0.01mm
    #[arg(long, value_name = "MEASURE")]
    pub resolution: String,
    /// What a move over the whole travel may be off; the resolution if left out
    #[arg(long, value_name = "MEASURE")]
    pub within: Option<String>,
    /// Write what was measured into the axis file, and the old figures behind it
    #[arg(long)]
    pub write: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Rehearse {
    /// The job file
    pub job: PathBuf,
    /// Seed of the simulated machine: the same seed gives the same rehearsal
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    #[arg(long = "fault", value_name = "NAME@TIME[+TIME]", help = FAULT)]
    pub faults: Vec<String>,
    /// Draw position and speed against time, as SVG
    #[arg(long, value_name = "PATH")]
    pub plot: Option<PathBuf>,
    /// Replace the drawing if it exists
    #[arg(long, requires = "plot")]
    pub replace: bool,
}

#[derive(Debug, Args)]
pub(crate) struct New {
    /// What the axis moves: lift, stop, fence, blade, tilt or table
    pub machine: String,
    /// The file to write
    #[arg(long, value_name = "PATH")]
    pub file: Option<PathBuf>,
    /// An answer given beforehand, such as pitch="2 mm"; repeat it for others
    #[arg(long = "set", value_name = "KEY=ANSWER")]
    pub answers: Vec<String>,
    /// Take the suggestion for every question not answered with --set
    #[arg(long)]
    pub suggested: bool,
    /// Replace the file if it exists
    #[arg(long)]
    pub replace: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Kerf {
    /// The length of the board before it was cut
    pub board: String,
    /// The length of each piece, the last one too
    #[arg(required = true)]
    pub pieces: Vec<String>,
    /// The unit of the lengths, and of the kerf
    #[arg(long)]
    pub unit: String,
}

#[derive(Debug, Args)]
pub(crate) struct Describe {
    /// The axis file
    pub axis: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct Place {
    /// The axis file
    pub axis: PathBuf,
    /// Where to go, each with its unit: "23/32 in"
    #[arg(required = true)]
    pub targets: Vec<String>,
    /// The unit of targets that have none
    #[arg(long)]
    pub unit: Option<String>,
    /// Which step a target is rounded to
    #[arg(long, value_enum, default_value_t)]
    pub rounding: RoundingRule,
    /// Measure from a temporary zero here; the soft limits stay where they are
    #[arg(long, value_name = "MEASURE")]
    pub zero: Option<String>,
    /// Refuse a target whose step cannot be decided
    #[arg(long)]
    pub strict: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Cuts {
    /// The job file
    pub job: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct Time {
    /// The axis file
    pub axis: PathBuf,
    /// Where the move starts
    pub from: String,
    /// Where it ends
    pub to: String,
    /// The unit of measures that have none
    #[arg(long)]
    pub unit: Option<String>,
    /// A slower speed for this move, such as a feed into the work: "3 mm/s"
    #[arg(long, value_name = "RATE")]
    pub speed: Option<String>,
    /// Ticks of the timer a second, instead of the axis file's
    #[arg(long, value_name = "TICKS")]
    pub timer_hz: Option<u64>,
    /// The side from which the start was reached
    #[arg(long, value_enum, default_value_t)]
    pub arrived: Arrival,
    /// Show the ticks of this many edges at both ends of the move
    #[arg(long, value_name = "COUNT", default_value_t = 3)]
    pub edges: u64,
}

/// From which side a place was reached, as the command line spells it.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub(crate) enum Arrival {
    /// From the side that the axis approaches from
    #[default]
    Approach,
    /// From below
    FromBelow,
    /// From above
    FromAbove,
    /// Not known, as after power-up; backlash is then taken up
    Unknown,
}

/// A [`Rounding`] as the command line spells it.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub(crate) enum RoundingRule {
    /// The nearest step; of two equally near, the even one
    #[default]
    Nearest,
    /// The highest step not above the target
    Below,
    /// The lowest step not below the target
    Above,
}

impl From<RoundingRule> for Rounding {
    fn from(rule: RoundingRule) -> Self {
        match rule {
            RoundingRule::Nearest => Self::Nearest,
            RoundingRule::Below => Self::Below,
            RoundingRule::Above => Self::Above,
        }
    }
}
