//! How many pulses a second the twin takes in each fidelity.

use std::time::Instant;

use wholestep_twin::{Fidelity, Machine, MachineParameters, ParameterError};

fn main() -> Result<(), ParameterError> {
    for (fidelity, moves) in [(Fidelity::Quasistatic, 2_000_u64), (Fidelity::Dynamic, 20)] {
        for step_mode in [16, 1] {
            let mut parameters = MachineParameters::stop_block();
            parameters.fidelity = fidelity;
            parameters.motor.step_mode = step_mode;
            parameters.transmission.travel_per_step *= f64::from(16 / step_mode);
            let interval = 1_600 / u64::from(step_mode);
            let mut machine = Machine::new(parameters, 1, 1_000_000)?;
            machine.set_drive(true, 0);
            let (start, mut tick) = (Instant::now(), 0);
            for number in 0..moves {
                tick += 100_000;
                for _ in 0..10_000 / (17 - step_mode.min(16)) {
                    tick += interval.max(1_000 / u64::from(step_mode));
                    machine.pulse(tick, number % 2 == 0);
                }
            }
            machine.advance(tick + 1_000_000);
            let seconds = start.elapsed().as_secs_f64();
            let truth = machine.truth();
            let pulses = moves * u64::from(10_000 / (17 - step_mode.min(16)));
            println!(
                "{fidelity:?}, {step_mode} to a full step: {:.1} million pulses/s, {:.0} times real time, lost {}",
                pulses as f64 / seconds / 1e6,
                tick as f64 / 1e6 / seconds,
                truth.lost_steps,
            );
        }
    }
    Ok(())
}
