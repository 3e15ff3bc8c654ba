//! `wholestep cuts JOB`.

use wholestep::{Angle, AngleUnit, Length, Measure, Result};
use wholestep_files::Registry;
use wholestep_shop::CutSheet;
use wholestep_shop::cut_list::{Cut, Held, Setting, Totals, Touch, Turn};
use wholestep_shop::job::Job;

use crate::arguments;
use crate::output;

pub(crate) fn answer(task: &arguments::Cuts, json: bool, registry: &Registry) -> Result<String> {
    let job = Job::load(&task.job, registry)?;
    output::cautions(job.axis());
    let cuts = job.cuts()?;
    if json { output::json(&cuts) } else { text(&job, &cuts) }
}

fn text(job: &Job, cuts: &CutSheet) -> Result<String> {
    let mut text = format!("{}, on {}\n", job.name(), job.axis().name());
    text += &cut_table(&cuts.cuts)?;
    text += &mitre_table(&cuts.cuts)?;
    text += &warnings(&cuts.cuts);
    for piece in &cuts.marks {
        text += &format!("\n{}, {} long\n\n", piece.name, piece.length);
        let mut table = output::table(&[">mark", "stop", ">step", "remainder"]);
        for (number, setting) in piece.marks.iter().enumerate() {
            let [stop, step, remainder] = columns(setting)?;
            table.add_row([(number + 1).to_string(), stop, step, remainder]);
        }
        text += &output::lines(&mut table);
    }
    text += &stock_table(cuts);
    for part in &cuts.unplaced {
        text += &format!(
            "\nNOT CUT: {} of {}, {} long: {}\n",
            part.quantity, part.part, part.length, part.reason
        );
    }
    Ok(text + &sums(&cuts.totals)? + CAUTION)
}

fn sums(totals: &Totals) -> Result<String> {
    let pieces = counted(totals.stock_pieces, "piece");
    let over = totals.stock_pieces.saturating_sub(totals.stock_pieces_at_least);
    let proof = match (totals.proven, over) {
        (true, _) => "no fewer will do".to_owned(),
        (false, 0) => "not proven to be the fewest".to_owned(),
        (false, over) => format!("at most {over} over the fewest"),
    };
    let mut text = format!(
        "\n{pieces} of stock ({proof}), {} long; parts {}, offcuts kept {}, waste {}\n",
        totals.stock_length, totals.parts, totals.offcuts_kept, totals.waste
    );
    let moves = counted(totals.stop_moves, "time");
    text += &format!("the stop moves {moves}, {} altogether", output::bounds(&totals.stop_travel)?);
    if let Some(seconds) = totals.seconds_moving {
        text += &format!(", taking {} s", seconds.0.decimal(3)?);
    }
    text += &match totals.moves_without_time {
        0 => String::new(),
        1 => " without 1 move that cannot be planned".to_owned(),
        missing => format!(" without {missing} moves that cannot be planned"),
    };
    text += &match totals.by_hand {
        0 => "\n".to_owned(),
        1 => "; 1 cut is set by hand\n".to_owned(),
        count => format!("; {count} cuts are set by hand\n"),
    };
    Ok(text)
}

/// `1 piece`, `2 pieces`.
fn counted(count: usize, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

const CAUTION: &str = "
Hold or clamp the piece that touches the stop. Let the blade stop before you lift a piece or reach past
the stop, and before the stop moves. The stop and its soft limits are not safety devices. The saw
maker's manual and the rules where you work come first.
";

fn cut_table(cuts: &[Cut]) -> Result<String> {
    if cuts.is_empty() {
        return Ok(String::new());
    }
    let heads =
        [">cut", ">stock", "part", "length", "stop", ">step", "remainder", ">move s", "left", "hold by"];
    let mut table = output::table(&heads);
    for cut in cuts {
        let [stop, step, remainder] = columns(&cut.setting)?;
        let hold = match cut.held {
            Held::Part => "part",
            Held::Stock => "stock *",
            Held::NotChecked => "?",
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
    Ok(format!("\n{}{}", output::lines(&mut table), holding(cuts)))
}

/// What the last column of the table asks for.
fn holding(cuts: &[Cut]) -> String {
    let any = |held| cuts.iter().any(|cut| cut.held == held);
    let mut text = String::new();
    if any(Held::Stock) {
        text += "\n* The part is too short to hold. Hold the stock: set it against the stop, clamp it, and with the
  blade at rest back the stop off before you cut, so that the part falls free.\n";
    }
    if any(Held::NotChecked) {
        text += "\n? Holding was not checked. Give shortest_to_hold, the shortest piece that the saw's manual lets
  you hold.\n";
    }
    text
}

/// For mitred cuts: how each end is made, where the stop touches, and how the part lies.
fn mitre_table(cuts: &[Cut]) -> Result<String> {
    let mitred = |cut: &&Cut| cut.left != Angle::ZERO || cut.right != Angle::ZERO || cut.saw_left_first;
    let cuts: Vec<&Cut> = cuts.iter().filter(mitred).collect();
    if cuts.is_empty() {
        return Ok(String::new());
    }
    let heads = [">cut", "left end", "", "the stop touches", "right end", "turned", "face"];
    let mut table = output::table(&heads);
    for cut in &cuts {
        let left = if cut.saw_left_first { "saw it first" } else { "is there" };
        let touches = match cut.stop_touches {
            Touch::SquareEnd => "the square end".into(),
            Touch::PointAtFence => "the point at the fence".into(),
            Touch::PointAwayFromFence => {
                format!("the point away from the fence, {} beyond", output::bounds(&cut.left_reach)?)
            }
        };
        let turned = match cut.turn {
            Turn::None => "no",
            Turn::EndForEnd => "end for end",
            Turn::EdgeOverEdge => "over, edge for edge",
            Turn::EndOverEnd => "over, end for end",
        };
        let face = if cut.turn.is_face_down() { "down" } else { "up" };
        let angle = |angle: Angle| angle.to_text(AngleUnit::Degree).to_string();
        table.add_row([
            cut.number.to_string(),
            angle(cut.left),
            left.into(),
            touches,
            angle(cut.right),
            turned.into(),
            face.into(),
        ]);
    }
    Ok(format!("\n{}{}", output::lines(&mut table), MITRES))
}

const MITRES: &str = "
Angles are from square, positive with the long point at the fence. An end that \u{201c}is there\u{201d} was made by
the cut before, or is the square end of the stock. A stop that does not reach the point away from the
fence would leave the part too long by what the point lies beyond. Lengths of stock are told along the
edge at the fence. Keep the face as told: swing the saw to the other side, for with the saw left at
one angle the board is turned over and the face goes down. Clamp the work, for it creeps along a mitred cut.
";

/// Stop distance, step and remainder; by hand, the distance is what the person measures.
fn columns(setting: &Setting) -> Result<[String; 3]> {
    let stop = output::bounds(&setting.stop)?;
    Ok(match &setting.placement {
        Some(placed) if placed.is_decided => {
            [stop, placed.step.to_string(), output::bounds(&placed.remainder)?]
        }
        Some(placed) => [stop, format!("{}?", placed.step), output::bounds(&placed.remainder)?],
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

fn stock_table(cuts: &CutSheet) -> String {
    if cuts.stock.is_empty() {
        return String::new();
    }
    let wedges = cuts.stock.iter().any(|piece| piece.wedges.length != Length::ZERO);
    let wedge = |text: &str| wedges.then(|| text.to_owned());
    let heads = [">stock", "length", "trim", "parts"].into_iter().chain(wedges.then_some("wedges"));
    let heads: Vec<&str> = heads.chain(["kerf", "offcut", ""]).collect();
    let mut table = output::table(&heads);
    for piece in &cuts.stock {
        let row = [
            piece.number.to_string(),
            piece.length.to_string(),
            piece.trim.to_string(),
            piece.parts.to_string(),
        ];
        let kept = if piece.kept { "kept" } else { "" };
        let rest = [piece.kerf.to_string(), piece.offcut.to_string(), kept.to_owned()];
        table.add_row(row.into_iter().chain(wedge(&piece.wedges.to_string())).chain(rest));
    }
    format!("\n{}", output::lines(&mut table))
}
