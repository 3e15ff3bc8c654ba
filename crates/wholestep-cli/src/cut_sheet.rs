//! A cut sheet as it is read: tables, and the sentences between them.

use wholestep::{AngleUnit, Length, Measure, Result};
use wholestep_shop::CutSheet;
use wholestep_shop::cut_list::{Cut, Held, MarkedPiece, Setting, StockPiece, Totals, Touch, Turn};

use crate::output::{self, bulleted, wrapped};

/// A part of a cut sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A table with the heads of its columns; those of numbers begin with `>` and are set to the right.
    Table {
        /// The heads.
        heads: Vec<&'static str>,
        /// The rows, each with a cell for every head.
        rows: Vec<Vec<String>>,
    },
    /// Lines of text.
    Text(String),
}

/// Returns the first line of a sheet: the job and its axis.
pub fn title(job: &str, axis: &str) -> String {
    format!("{job}, on {axis}")
}

/// Returns the sheet as JSON.
///
/// # Errors
/// None that a cut sheet can cause.
pub fn json(cuts: &CutSheet) -> Result<String> {
    output::json(cuts)
}

/// Returns the sheet as text, a blank line between two blocks.
pub fn text(blocks: &[Block]) -> String {
    let lines = |block: &Block| match block {
        Block::Text(text) => format!("{text}\n"),
        Block::Table { heads, rows } => {
            let mut table = output::table(heads);
            table.add_rows(rows);
            output::lines(&mut table)
        }
    };
    blocks.iter().map(lines).collect::<Vec<_>>().join("\n")
}

/// Returns what the sheet says, in order, below `title`.
///
/// # Errors
/// None that a cut sheet can cause.
pub fn blocks(title: &str, cuts: &CutSheet) -> Result<Vec<Block>> {
    let mut blocks = vec![Block::Text(title.into())];
    if !cuts.cuts.is_empty() {
        blocks.push(cut_table(&cuts.cuts)?);
        blocks.extend(holding(&cuts.cuts)?);
    }
    let mitred: Vec<&Cut> = cuts.cuts.iter().filter(|cut| cut.is_mitred()).collect();
    if !mitred.is_empty() {
        blocks.extend([mitre_table(&mitred)?, text_block(MITRES)]);
    }
    blocks.extend(warnings(&cuts.cuts).map(Block::Text));
    for piece in &cuts.marks {
        blocks.extend([Block::Text(format!("{}, {} long", piece.name, piece.length)), mark_table(piece)?]);
    }
    if !cuts.stock.is_empty() {
        blocks.push(stock_table(cuts)?);
    }
    blocks.extend(step_table(&cuts.cuts)?);
    for part in &cuts.unplaced {
        let (count, name, length, reason) = (part.quantity, &part.part, &part.length, &part.reason);
        blocks.push(Block::Text(format!("NOT CUT: {count} of {name}, {length} long: {reason}")));
    }
    blocks.push(Block::Text(sums(&cuts.totals)?));
    blocks.extend(cuts.warnings.iter().map(|warning| Block::Text(wrapped(warning, ""))));
    blocks.extend(cuts.cautions.iter().map(|caution| Block::Text(bulleted(caution))));
    Ok(blocks)
}

fn text_block(text: &str) -> Block {
    Block::Text(text.into())
}

fn sums(totals: &Totals) -> Result<String> {
    let pieces = counted(totals.stock_pieces, "piece");
    let over = totals.stock_pieces.saturating_sub(totals.stock_pieces_at_least);
    let proof = match (totals.proven, over) {
        (true, _) => "no fewer will do".to_owned(),
        (false, 0) => "not proven to be the fewest".to_owned(),
        (false, over) => format!("at most {over} over the fewest"),
    };
    let [long, parts, kept, waste] =
        [totals.stock_length, totals.parts, totals.offcuts_kept, totals.waste].map(output::told);
    let text = format!(
        "{pieces} of stock ({proof}), {} long\nparts {}, offcuts kept {}, waste {}\n",
        long?, parts?, kept?, waste?
    );
    let moves = counted(totals.stop_moves, "time");
    let mut moved = format!("the stop moves {moves}, {} altogether", output::bounds(&totals.stop_travel)?);
    if let Some(seconds) = totals.seconds_moving {
        moved += &format!(", taking {} s", seconds.0.decimal(3)?);
    }
    moved += &match totals.moves_without_time {
        0 => String::new(),
        1 => " without 1 move that cannot be planned".to_owned(),
        missing => format!(" without {missing} moves that cannot be planned"),
    };
    moved += &match totals.by_hand {
        0 => String::new(),
        1 => "; 1 cut is set by hand".to_owned(),
        count => format!("; {count} cuts are set by hand"),
    };
    Ok(text + &wrapped(&moved, ""))
}

/// `1 piece`, `2 pieces`.
fn counted(count: usize, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

fn cut_table(cuts: &[Cut]) -> Result<Block> {
    // A square part stands at its length, and the column would say it twice.
    let stops = cuts.iter().any(|cut| {
        cut.setting.placement.is_none()
            || cut.setting.stop.low != cut.length
            || cut.setting.stop.high != cut.length
    });
    let heads = [">cut", ">stock", "part", "length"].into_iter().chain(stops.then_some("stop"));
    let row = |cut: &Cut| -> Result<Vec<String>> {
        let hold = match cut.held {
            Held::Part => "part",
            Held::Stock => "stock *",
            Held::NotChecked => "?",
        };
        let begin =
            [cut.number.to_string(), cut.stock.to_string(), cut.part.clone(), output::told(cut.length)?];
        let stop = stops.then(|| stop_at(&cut.setting)).transpose()?;
        let end = [output::told(cut.remaining)?, hold.into()];
        Ok(begin.into_iter().chain(stop).chain(end).collect())
    };
    Ok(Block::Table {
        heads: heads.chain(["left", "hold by"]).collect(),
        rows: cuts.iter().map(row).collect::<Result<_>>()?,
    })
}

/// The distance of the stop; by hand, it is what the person measures.
fn stop_at(setting: &Setting) -> Result<String> {
    let stop = output::bounds(&setting.stop)?;
    Ok(if setting.placement.is_some() { stop } else { format!("{stop} by hand") })
}

/// Each place of the stop once, with the step that it stands on and how far off that is.
fn step_table(cuts: &[Cut]) -> Result<Option<Block>> {
    let mut placed: Vec<&Setting> = Vec::new();
    for setting in cuts.iter().flat_map(|cut| [Some(&cut.setting), cut.backed_off.as_ref()]).flatten() {
        if setting.placement.is_some() && !placed.contains(&setting) {
            placed.push(setting);
        }
    }
    let rows = placed.into_iter().map(|setting| columns(setting).map(Vec::from));
    let rows = rows.collect::<Result<Vec<_>>>()?;
    Ok((!rows.is_empty()).then_some(Block::Table { heads: vec!["stop", ">step", "remainder"], rows }))
}

/// What the last column of the table asks for, and where the stop is backed off to.
fn holding(cuts: &[Cut]) -> Result<Vec<Block>> {
    let any = |held| cuts.iter().any(|cut| cut.held == held);
    let mut blocks = Vec::new();
    if any(Held::Stock) {
        blocks.push(text_block(STOCK_HELD));
        match back_off_table(cuts)? {
            Some(table) => blocks.push(table),
            None => blocks.push(text_block(NO_STOP_GAP)),
        }
    }
    if any(Held::NotChecked) {
        blocks.push(text_block(NOT_CHECKED));
    }
    Ok(blocks)
}

const STOCK_HELD: &str = "\
* The part is too short to hold. Hold the stock: set it against the stop, clamp
  it, and with the blade at rest back the stop off before you cut, so that the
  part falls free.";

const NO_STOP_GAP: &str = "\
Give stop_gap, how far the stop backs off, and the job does that too.";

const NOT_CHECKED: &str = "\
? Holding was not checked. Give shortest_to_hold, the shortest piece that the
  saw's manual lets you hold.";

/// Where the stop is backed off to; cuts with the same place in one row.
fn back_off_table(cuts: &[Cut]) -> Result<Option<Block>> {
    let mut places: Vec<(&Setting, Vec<usize>)> = Vec::new();
    for cut in cuts {
        let Some(setting) = &cut.backed_off else { continue };
        match places.iter_mut().find(|(known, _)| *known == setting) {
            Some((_, numbers)) => numbers.push(cut.number),
            None => places.push((setting, vec![cut.number])),
        }
    }
    let row = |(setting, numbers): &(&Setting, Vec<usize>)| -> Result<Vec<String>> {
        Ok(vec![name_cuts(numbers), stop_at(setting)?])
    };
    let rows = places.iter().map(row).collect::<Result<Vec<_>>>()?;
    let heads = vec!["stock held", "back the stop off to"];
    Ok((!rows.is_empty()).then_some(Block::Table { heads, rows }))
}

/// For mitred cuts: how each end is made, where the stop touches, and how the part lies.
fn mitre_table(cuts: &[&Cut]) -> Result<Block> {
    let heads = vec![">cut", "left end", "", "the stop touches", "right end", "turned", "face"];
    let row = |cut: &&Cut| -> Result<Vec<String>> {
        let left = if cut.saw_left_first { "saw it first" } else { "is there" };
        let touches = match cut.stop_touches {
            Touch::SquareEnd => "square end".into(),
            Touch::PointAtFence => "point at the fence".into(),
            Touch::PointAwayFromFence => {
                format!("point away from the fence, {} beyond", output::bounds(&cut.left_reach)?)
            }
        };
        let turned = match cut.turn {
            Turn::None => "no",
            Turn::EndForEnd => "end for end",
            Turn::EdgeOverEdge => "over, edge for edge",
            Turn::EndOverEnd => "over, end for end",
        };
        let face = if cut.turn.is_face_down() { "down" } else { "up" };
        let [left_angle, right_angle] =
            [cut.left, cut.right].map(|angle| angle.to_text(AngleUnit::Degree).to_string());
        let number = cut.number.to_string();
        Ok(vec![number, left_angle, left.into(), touches, right_angle, turned.into(), face.into()])
    };
    Ok(Block::Table { heads, rows: cuts.iter().map(row).collect::<Result<_>>()? })
}

fn mark_table(piece: &MarkedPiece) -> Result<Block> {
    let row = |(index, setting): (usize, &Setting)| -> Result<Vec<String>> {
        let [stop, step, remainder] = columns(setting)?;
        Ok(vec![(index + 1).to_string(), stop, step, remainder])
    };
    let rows = piece.marks.iter().enumerate().map(row).collect::<Result<_>>()?;
    Ok(Block::Table { heads: vec![">mark", "stop", ">step", "remainder"], rows })
}

const MITRES: &str = "\
Angles are from square, positive with the long point at the fence. An end that
\u{201c}is there\u{201d} was made by the cut before, or is the square end of the stock. A stop
that does not reach the point away from the fence would leave the part too long
by what the point lies beyond. Lengths of stock are told along the edge at the
fence.";

/// Stop distance, step and remainder; by hand, the distance is what the person measures.
fn columns(setting: &Setting) -> Result<[String; 3]> {
    let stop = output::bounds(&setting.stop)?;
    Ok(match &setting.placement {
        Some(placed) => {
            let unsure = if placed.is_decided { "" } else { "?" };
            [stop, format!("{}{unsure}", placed.step), output::bounds(&placed.remainder)?]
        }
        None => [stop, "by hand".into(), String::new()],
    })
}

/// What to mind, each once, with the cuts that it concerns.
fn warnings(cuts: &[Cut]) -> Option<String> {
    let mut concerned: Vec<(&str, Vec<usize>)> = Vec::new();
    for cut in cuts {
        let backed_off = cut.backed_off.iter().filter_map(|setting| setting.by_hand.as_ref());
        for why in cut.setting.by_hand.iter().chain(backed_off).chain(&cut.warnings) {
            match concerned.iter_mut().find(|(known, _)| known == why) {
                Some((_, numbers)) => numbers.push(cut.number),
                None => concerned.push((why, vec![cut.number])),
            }
        }
    }
    let line = |(why, numbers): &(&str, Vec<usize>)| wrapped(&format!("{}: {why}", name_cuts(numbers)), "  ");
    let lines: Vec<String> = concerned.iter().map(line).collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
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

fn stock_table(cuts: &CutSheet) -> Result<Block> {
    let wedges = cuts.stock.iter().any(|piece| piece.wedges.length != Length::ZERO);
    let heads = [">stock", "length", "trim", "parts"].into_iter().chain(wedges.then_some("wedges"));
    let row = |piece: &StockPiece| -> Result<Vec<String>> {
        let measured = [&piece.length, &piece.trim, &piece.parts]
            .into_iter()
            .chain(wedges.then_some(&piece.wedges))
            .chain([&piece.kerf, &piece.offcut]);
        let kept = if piece.kept { "kept" } else { "" };
        let measured = measured.map(|length| output::told(*length)).collect::<Result<Vec<_>>>()?;
        Ok([piece.number.to_string()].into_iter().chain(measured).chain([kept.to_owned()]).collect())
    };
    Ok(Block::Table {
        heads: heads.chain(["kerf", "offcut", ""]).collect(),
        rows: cuts.stock.iter().map(row).collect::<Result<_>>()?,
    })
}
