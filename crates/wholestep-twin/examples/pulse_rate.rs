//! How many pulses a second the twin takes in each fidelity, to and fro at a constant speed.
#![expect(clippy::cast_precision_loss, reason = "counts far below 2^53")]

use std::time::Instant;

use wholestep_twin::{Fidelity, Machine, MachineParameters, ParameterError};

fn main() -> Result<(), ParameterError> {
    for (fidelity, pulses) in [(Fidelity::Quasistatic, 20_000_000_u64), (Fidelity::Dynamic, 200_000)] {
        for step_mode in [16, 1] {
            let mut parameters = MachineParameters::stop_block();
            parameters.fidelity = fidelity;
            parameters.motor.step_mode = step_mode;
            parameters.transmission.travel_per_step *= f64::from(16 / step_mode);
            // 500 full steps a second; turning round every two turns.
            let interval = 2_000 / u64::from(step_mode);
            let span = 400 * u64::from(step_mode);
            let mut machine = Machine::new(parameters, 1, 1_000_000)?;
            machine.set_drive(true, 0);
            let start = Instant::now();
            let mut tick = 0;
            for number in 0..pulses {
                tick += if number % span == 0 { 100_000 } else { interval };
                machine.pulse(tick, number / span % 2 == 0);
            }
            let seconds = start.elapsed().as_secs_f64();
            machine.advance(tick + 1_000_000);
            println!(
                "{fidelity:?}, {step_mode} to a full step: {:.2} million pulses/s, {:.0} times real time, lost {}",
                pulses as f64 / seconds / 1e6,
                tick as f64 / 1e6 / seconds,
                machine.ground_truth().lost_steps,
            );
        }
    }
    Ok(())
}
