//! `wholestep cuts JOB`.

use wholestep::Result;
use wholestep::spec::Registry;
use wholestep_shop::Cuts;
use wholestep_shop::cut_list::{Cut, Held, Setting};
use wholestep_shop::job::Job;

use crate::arguments;
use crate::present;

pub(crate) fn answer(task: &arguments::Cuts, json: bool, registry: &Registry) -> Result<String> {
    let job = Job::load(&task.job, registry)?;
    present::cautions(job.axis());
    let cuts = job.cuts()?;
    if json { present::json(&cuts) } else { text(&job, &cuts) }
}

fn text(job: &Job, cuts: &Cuts) -> Result<String> {
    let mut text = format!("{}, on {}\n", job.name(), job.axis().name());
    text += &cut_table(&cuts.cuts)?;
    text += &warnings(&cuts.cuts);
    for piece in &cuts.marks {
        text += &format!("\n{}, {} long\n\n", piece.name, piece.length);
        let mut table = present::table(&[">mark", "stop", ">step", "remainder"]);
        for (number, setting) in piece.marks.iter().enumerate() {
            let [stop, step, remainder] = columns(setting)?;
            table.add_row([(number + 1).to_string(), stop, step, remainder]);
        }
        text += &present::lines(&mut table);
    }
    text += &stock_table(cuts);
    for part in &cuts.unplaced {
        text += &format!(
            "\nNOT CUT: {} of {}, {} long: {}\n",
            part.quantity, part.part, part.length, part.reason
        );
    }
    let totals = &cuts.totals;
    let proof = if totals.proven { "no fewer will do" } else { "not proven to be the fewest" };
    text += &format!(
        "\n{} pieces of stock ({proof}), {} long; parts {}, offcuts kept {}, waste {}\n",
        totals.stock_pieces, totals.stock_length, totals.parts, totals.offcuts_kept, totals.waste
    );
    text += &format!(
        "the stop moves {} times, {} altogether",
        totals.stop_moves,
        present::bounds(&totals.stop_travel)?
    );
    if let Some(seconds) = totals.seconds_moving {
        text += &format!(", taking {} s", seconds.0.decimal(3)?);
    }
    text += &match totals.by_hand {
        0 => "\n".to_owned(),
        count => format!("; {count} cuts are set by hand\n"),
    };
    Ok(text + CAUTION)
}

const CAUTION: &str = "
Let the blade stop before you take a piece away or reach past the stop; hold each piece as the saw's
maker says. The stop and its soft limits are not safety devices.
";

fn cut_table(cuts: &[Cut]) -> Result<String> {
    if cuts.is_empty() {
        return Ok(String::new());
    }
    let heads = [">cut", ">stock", "part", "length", "stop", ">step", "remainder", ">move s", "left", "hold"];
    let mut table = present::table(&heads);
    for cut in cuts {
        let [stop, step, remainder] = columns(&cut.setting)?;
        let hold = match cut.held {
            Held::Remaining => "stock",
            Held::Part => "part",
        };
        table.add_row([
            cut.number.to_string(),
            cut.stock.to_string(),
            cut.part.clone(),
            cut.length.to_string(),
            stop,
            step,
            remainder,
            match cut.stop_move {
                Some(stop_move) => stop_move.seconds.0.decimal(3)?.to_string(),
                None => String::new(),
            },
            cut.remaining.to_string(),
            hold.into(),
        ]);
    }
    Ok(format!("\n{}", present::lines(&mut table)))
}

/// Stop distance, step and remainder; by hand, the distance is what the person measures.
fn columns(setting: &Setting) -> Result<[String; 3]> {
    let stop = present::bounds(&setting.stop)?;
    Ok(match &setting.placement {
        Some(placed) if placed.decided => [stop, placed.step.to_string(), present::bounds(&placed.residual)?],
        Some(placed) => [stop, format!("{}?", placed.step), present::bounds(&placed.residual)?],
        None => [stop, "by hand".into(), String::new()],
    })
}

/// What to mind, each once, with the cuts that it concerns.
fn warnings(cuts: &[Cut]) -> String {
    let mut concerned: Vec<(&str, Vec<usize>)> = Vec::new();
    for cut in cuts {
        for why in cut.setting.by_hand.iter().chain(&cut.warnings) {
            match concerned.iter_mut().find(|(known, _)| known == why) {
                Some((_, numbers)) => numbers.push(cut.number),
                None => concerned.push((why, vec![cut.number])),
            }
        }
    }
    let lines: String =
        concerned.iter().map(|(why, numbers)| format!("{}: {why}\n", name_cuts(numbers))).collect();
    if lines.is_empty() { lines } else { format!("\n{lines}") }
}

/// `cut 7`, or `cuts 7, 9 to 12`.
fn name_cuts(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b).map(|run| match run {
        [only] => only.to_string(),
        [first, .., last] => format!("{first} to {last}"),
        [] => String::new(),
    });
    format!("{} {}", if numbers.len() == 1 { "cut" } else { "cuts" }, runs.collect::<Vec<_>>().join(", "))
}

fn stock_table(cuts: &Cuts) -> String {
    if cuts.stock.is_empty() {
        return String::new();
    }
    let mut table = present::table(&[">stock", "length", "trim", "parts", "kerf", "offcut", ""]);
    for piece in &cuts.stock {
        table.add_row([
            piece.number.to_string(),
            piece.length.to_string(),
            piece.trim.to_string(),
            piece.parts.to_string(),
            piece.kerf.to_string(),
            piece.offcut.to_string(),
            if piece.kept { "kept".into() } else { String::new() },
        ]);
    }
    format!("\n{}", present::lines(&mut table))
}
