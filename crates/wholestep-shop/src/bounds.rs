//! Every range of the shop's jobs, stated once.

/// Most copies of all parts of a cut list together.
pub const PARTS_MAX: u32 = 2_000;

/// Most pieces of stock of one length.
pub const STOCK_MAX: u32 = 1_000_000;

/// Most marks along one piece.
pub const MARKS_MAX: u32 = 10_000;

/// Most bytes of a CSV file: 4 MiB.
pub const CSV_BYTES_MAX: u64 = 4 << 20;

/// The most moves in a job.
pub const MOVES_MAX: usize = 10_000;
