//! A cut sheet as it is read: tables, and the sentences between them.

use wholestep::{Angle, AngleUnit, Length, Measure, Result};
use wholestep_shop::CutSheet;
use wholestep_shop::cut_list::{Cut, Held, MarkedPiece, Setting, StockPiece, Totals, Touch, Turn};

use crate::output;

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
        blocks.extend(holding(&cuts.cuts).into_iter().map(text_block));
    }
    let mitred: Vec<&Cut> = cuts.cuts.iter().filter(|cut| is_mitred(cut)).collect();
    if !mitred.is_empty() {
        blocks.extend([mitre_table(&mitred)?, text_block(MITRES)]);
    }
    blocks.extend(warnings(&cuts.cuts).map(Block::Text));
    for piece in &cuts.marks {
        blocks.extend([Block::Text(format!("{}, {} long", piece.name, piece.length)), mark_table(piece)?]);
    }
    if !cuts.stock.is_empty() {
        blocks.push(stock_table(cuts));
    }
    for part in &cuts.unplaced {
        let (count, name, length, reason) = (part.quantity, &part.part, &part.length, &part.reason);
        blocks.push(Block::Text(format!("NOT CUT: {count} of {name}, {length} long: {reason}")));
    }
    blocks.extend([Block::Text(sums(&cuts.totals)?), text_block(CAUTION)]);
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
    let mut text = format!(
        "{pieces} of stock ({proof}), {} long; parts {}, offcuts kept {}, waste {}\n",
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
        0 => String::new(),
        1 => "; 1 cut is set by hand".to_owned(),
        count => format!("; {count} cuts are set by hand"),
    };
    Ok(text)
}

/// `1 piece`, `2 pieces`.
fn counted(count: usize, thing: &str) -> String {
    if count == 1 { format!("1 {thing}") } else { format!("{count} {thing}s") }
}

const CAUTION: &str = "\
Hold or clamp the piece that touches the stop. Let the blade stop before you lift a piece or reach past
the stop, and before the stop moves. The stop and its soft limits are not safety devices. The saw
maker's manual and the rules where you work come first.";

fn cut_table(cuts: &[Cut]) -> Result<Block> {
    let heads =
        vec![">cut", ">stock", "part", "length", "stop", ">step", "remainder", ">move s", "left", "hold by"];
    let row = |cut: &Cut| -> Result<Vec<String>> {
        let [stop, step, remainder] = columns(&cut.setting)?;
        let seconds = match cut.stop_move {
            Some(stop_move) => stop_move.seconds.0.decimal(3)?.to_string(),
            None => String::new(),
        };
        let hold = match cut.held {
            Held::Part => "part",
            Held::Stock => "stock *",
            Held::NotChecked => "?",
        };
        let (number, board, length) = (cut.number.to_string(), cut.stock.to_string(), cut.length.to_string());
        let left = cut.remaining.to_string();
        Ok(vec![number, board, cut.part.clone(), length, stop, step, remainder, seconds, left, hold.into()])
    };
    Ok(Block::Table { heads, rows: cuts.iter().map(row).collect::<Result<_>>()? })
}

/// What the last column of the table asks for.
fn holding(cuts: &[Cut]) -> Vec<&'static str> {
    let any = |held| cuts.iter().any(|cut| cut.held == held);
    let stock = "\
* The part is too short to hold. Hold the stock: set it against the stop, clamp it, and with the
  blade at rest back the stop off before you cut, so that the part falls free.";
    let not_checked = "\
? Holding was not checked. Give shortest_to_hold, the shortest piece that the saw's manual lets
  you hold.";
    [any(Held::Stock).then_some(stock), any(Held::NotChecked).then_some(not_checked)]
        .into_iter()
        .flatten()
        .collect()
}

fn is_mitred(cut: &Cut) -> bool {
    cut.left != Angle::ZERO || cut.right != Angle::ZERO || cut.saw_left_first
}

/// For mitred cuts: how each end is made, where the stop touches, and how the part lies.
fn mitre_table(cuts: &[&Cut]) -> Result<Block> {
    let heads = vec![">cut", "left end", "", "the stop touches", "right end", "turned", "face"];
    let row = |cut: &&Cut| -> Result<Vec<String>> {
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
Angles are from square, positive with the long point at the fence. An end that \u{201c}is there\u{201d} was made by
the cut before, or is the square end of the stock. A stop that does not reach the point away from the
fence would leave the part too long by what the point lies beyond. Lengths of stock are told along the
edge at the fence. Keep the face as told: swing the saw to the other side, for with the saw left at
one angle the board is turned over and the face goes down. Clamp the work, for it creeps along a mitred cut.";

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
fn warnings(cuts: &[Cut]) -> Option<String> {
    let mut concerned: Vec<(&str, Vec<usize>)> = Vec::new();
    for cut in cuts {
        for why in cut.setting.by_hand.iter().chain(&cut.warnings) {
            match concerned.iter_mut().find(|(known, _)| known == why) {
                Some((_, numbers)) => numbers.push(cut.number),
                None => concerned.push((why, vec![cut.number])),
            }
        }
    }
    let line = |(why, numbers): &(&str, Vec<usize>)| format!("{}: {why}", name_cuts(numbers));
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

fn stock_table(cuts: &CutSheet) -> Block {
    let wedges = cuts.stock.iter().any(|piece| piece.wedges.length != Length::ZERO);
    let heads = [">stock", "length", "trim", "parts"].into_iter().chain(wedges.then_some("wedges"));
    let row = |piece: &StockPiece| {
        let measured = [&piece.length, &piece.trim, &piece.parts]
            .into_iter()
            .chain(wedges.then_some(&piece.wedges))
            .chain([&piece.kerf, &piece.offcut]);
        let kept = if piece.kept { "kept" } else { "" };
        let cells = measured.map(ToString::to_string).chain([kept.to_owned()]);
        [piece.number.to_string()].into_iter().chain(cells).collect()
    };
    Block::Table {
        heads: heads.chain(["kerf", "offcut", ""]).collect(),
        rows: cuts.stock.iter().map(row).collect(),
    }
}
