//! Lives many seeded lives of a carriage on a twin, and prints what came of them.

use std::process::ExitCode;
use std::time::Instant;

use clap::Parser;
use wholestep_tests::campaign::Outcome;

/// Many seeded lives of a carriage on a simulated machine
#[derive(Debug, Parser)]
struct Arguments {
    /// How many lives
    #[arg(long, default_value_t = 5_000)]
    lives: u64,
    /// The seed of the first; each life has the next
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// How many at a time
    #[arg(long, default_value_t = 1)]
    threads: u64,
}

fn main() -> ExitCode {
    let Arguments { lives, seed, threads } = Arguments::parse();
    let start = Instant::now();
    let outcome = Outcome::of(lives, seed, threads);
    print!("{}", outcome.table());
    println!(
        "\nseeds {seed} to {} in {:.1} s",
        seed.wrapping_add(lives).wrapping_sub(1),
        start.elapsed().as_secs_f64()
    );
    let missing = outcome.missing();
    if !missing.is_empty() {
        println!("never occurred: {}", missing.join(", "));
    }
    if outcome.broken().is_empty() && missing.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
