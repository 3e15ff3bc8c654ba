//! From a cut list to its cuts.

use std::collections::BTreeMap;

use wholestep::{Axis, Exact, Length, Measure, Mechanism, Result, Rounding};

use super::nesting::{Item, Nested, Nesting, Problem, Reason, Stick, nest};
use super::order::{self, Candidate, Piece};
use super::part::Extent;
use super::setting::{self, Set};
use super::units::Units;
use super::{Bounds, Cut, CutList, Cuts, Dimension, Held, MarkedPiece, StockPiece, Totals, Unplaced};

/// Works out a cut list that has been checked.
pub(super) fn out<M: Mechanism<Measure = Length>>(list: &CutList, axis: &Axis<M>) -> Result<Cuts> {
    let extents = list.parts.iter().map(|part| Extent::of(part, list)).collect::<Result<Vec<_>>>()?;
    let set = |stop| setting::set(axis, stop, list.rounding, list.unit);
    let settings = extents.iter().map(|extent| set(extent.stop)).collect::<Result<Vec<_>>>()?;
    let marks = list.marks.iter().map(|marks| {
        let places = marks.places(list.unit)?;
        let settings = places.into_iter().map(|place| Ok(set(wholestep::Enclosure::exact(place))?.0));
        let length = list.told(marks.length);
        Ok(MarkedPiece { name: marks.name.clone(), length, marks: settings.collect::<Result<_>>()? })
    });
    let marks = marks.collect::<Result<_>>()?;

    let bench = Bench::new(list, &extents)?;
    let nesting = nest(&bench.problem);
    let pieces = nesting.pieces.iter().map(|nested| bench.piece(nested, &settings, &extents));
    let pieces = pieces.collect::<Result<Vec<_>>>()?;
    let hold = bench.problem.hold;
    let sequence = if list.finish_each_piece {
        order::piece_after_piece(&pieces, hold)
    } else {
        order::least_travel(&pieces, hold)
    };

    let mut saws: Vec<Saw<'_>> = nesting.pieces.iter().map(|nested| Saw::new(&bench, nested)).collect();
    let cuts = sequence.iter().enumerate().map(|(at, &(piece, cut))| {
        let part = pieces[piece].cuts[cut].part;
        saws[piece].cut(at + 1, piece + 1, part, &settings[part].0)
    });
    let cuts = cuts.collect::<Result<Vec<_>>>()?;
    let stock = saws.iter().enumerate().map(|(at, saw)| saw.finished(at + 1)).collect::<Result<Vec<_>>>()?;
    let placements: Vec<_> =
        sequence.iter().filter_map(|&(piece, cut)| settings[pieces[piece].cuts[cut].part].1).collect();
    let moves = setting::moves(&placements)?;
    let totals = bench.totals(&nesting, &stock, &cuts, moves)?;
    Ok(Cuts { cuts, marks, stock, unplaced: unplaced(list, &nesting), totals })
}

fn unplaced(list: &CutList, nesting: &Nesting) -> Vec<Unplaced> {
    let mut quantities: BTreeMap<usize, (usize, Reason)> = BTreeMap::new();
    for &(part, reason) in &nesting.unplaced {
        quantities.entry(part).or_insert((0, reason)).0 += 1;
    }
    let told = |(part, (quantity, reason)): (usize, _)| {
        let part = &list.parts[part];
        Unplaced { part: part.name.clone(), length: list.told(part.length), quantity, reason }
    };
    quantities.into_iter().map(told).collect()
}

impl CutList {
    fn told(&self, length: Length) -> Dimension {
        Dimension { length, unit: self.unit }
    }
}

/// The cut list in whole units.
struct Bench<'a> {
    list: &'a CutList,
    units: Units,
    problem: Problem,
}

impl<'a> Bench<'a> {
    fn new(list: &'a CutList, extents: &[Extent]) -> Result<Self> {
        let units = Units::common(
            extents
                .iter()
                .flat_map(|extent| [extent.occupies, extent.kerf, extent.holdable])
                .chain(list.stock.iter().map(|stock| stock.length))
                .chain([list.kerf, list.end_trim, list.smallest_offcut, list.hold]),
        )?;
        let kerf = units.count(list.kerf);
        let items = extents.iter().zip(&list.parts).map(|(extent, part)| Item {
            length: units.count(extent.occupies),
            kerf: units.count(extent.kerf),
            holdable: units.count(extent.holdable),
            quantity: usize::try_from(part.quantity).unwrap_or(usize::MAX),
        });
        let hold = units.count(list.hold);
        let trim = trim(list, units);
        let stock = list.stock.iter().map(|stock| {
            let length = units.count(stock.length);
            let usable = length - trim;
            // What the trimming cut leaves must be long enough to hold, too.
            let usable = if trim > 0 && usable < hold { 0 } else { usable };
            let quantity = stock.quantity.map(|quantity| usize::try_from(quantity).unwrap_or(usize::MAX));
            Stick { length, usable, quantity }
        });
        let smallest_offcut = units.count(list.smallest_offcut);
        let problem = Problem { items: items.collect(), stock: stock.collect(), kerf, hold, smallest_offcut };
        Ok(Self { list, units, problem })
    }

    fn piece(&self, nested: &Nested, settings: &[Set], extents: &[Extent]) -> Result<Piece> {
        let cuts = nested.items.iter().map(|&part| {
            let item = &self.problem.items[part];
            let stop = extents[part].stop.low();
            Ok(Candidate {
                part,
                stop,
                travel: settings[part].1.map(|_| fine(stop)).transpose()?,
                room: item.length + item.kerf,
                holds: item.holdable >= self.problem.hold,
            })
        });
        Ok(Piece { usable: self.problem.stock[nested.stock].usable, cuts: cuts.collect::<Result<_>>()? })
    }

    fn told(&self, units: i128) -> Result<Dimension> {
        Ok(self.list.told(self.units.length(units)?))
    }

    fn totals(
        &self,
        nesting: &Nesting,
        stock: &[StockPiece],
        cuts: &[Cut],
        (travel, stop_moves): (wholestep::Enclosure<Length>, usize),
    ) -> Result<Totals> {
        let sum = |of: fn(&StockPiece) -> Length| {
            stock.iter().try_fold(Length::ZERO, |sum, piece| sum.add(of(piece)))
        };
        let stock_length = sum(|piece| piece.length.length)?;
        let parts = sum(|piece| piece.parts.length)?;
        let kept = sum(|piece| if piece.kept { piece.offcut.length } else { Length::ZERO })?;
        Ok(Totals {
            stock_pieces: stock.len(),
            stock_pieces_at_least: nesting.lower_bound,
            proven: nesting.proven,
            stock_length: self.list.told(stock_length),
            parts: self.list.told(parts),
            offcuts_kept: self.list.told(kept),
            waste: self.list.told(stock_length.sub(parts)?.sub(kept)?),
            stop_travel: Bounds::of(travel, self.list.unit),
            stop_moves,
            seconds_moving: None,
            by_hand: cuts.iter().filter(|cut| cut.setting.by_hand.is_some()).count(),
        })
    }
}

/// Trim and the kerf of the trimming cut.
fn trim(list: &CutList, units: Units) -> i128 {
    match units.count(list.end_trim) {
        0 => 0,
        trim => trim + units.count(list.kerf),
    }
}

/// A stop distance in units of 2^-30 mm: it only compares orders, so a nanometre is near enough.
fn fine(stop: Length) -> Result<i128> {
    Ok(stop.base().mul(Exact::new(1 << 30, 1)?)?.round(Rounding::Nearest))
}

/// One piece of stock on the saw.
struct Saw<'a> {
    bench: &'a Bench<'a>,
    stick: &'a Stick,
    to_cut: usize,
    rest: i128,
    parts: i128,
    kerf: i128,
}

impl<'a> Saw<'a> {
    fn new(bench: &'a Bench<'a>, nested: &Nested) -> Self {
        let stick = &bench.problem.stock[nested.stock];
        let kerf = if bench.list.end_trim > Length::ZERO { bench.problem.kerf } else { 0 };
        Self { bench, stick, to_cut: nested.items.len(), rest: stick.usable, parts: 0, kerf }
    }

    fn cut(&mut self, number: usize, stock: usize, part: usize, setting: &super::Setting) -> Result<Cut> {
        let list = self.bench.list;
        let (drawn, item) = (&list.parts[part], &self.bench.problem.items[part]);
        self.to_cut -= 1;
        self.parts += item.length;
        self.rest -= item.length;
        let ends_with_stock = self.rest == 0;
        let kerf = item.kerf.min(self.rest);
        self.kerf += kerf;
        self.rest -= kerf;
        let held = if self.rest >= self.bench.problem.hold { Held::Remaining } else { Held::Part };
        let sawn = !ends_with_stock || drawn.right != wholestep::Angle::ZERO;
        let mut warnings = Vec::new();
        if ends_with_stock && !sawn {
            warnings.push("nothing to saw off; check its length against the stop".into());
            if list.end_trim > Length::ZERO {
                warnings.push("its far end is the raw end of the stock".into());
            }
        }
        if setting.placement.as_ref().is_some_and(|placed| !placed.decided) {
            warnings.push("the bounds do not tell which of two neighbouring steps is nearer".into());
        }
        Ok(Cut {
            number,
            stock,
            part: drawn.name.clone(),
            length: list.told(drawn.length),
            measured_to: drawn.measured_to,
            left: drawn.left,
            right: drawn.right,
            setting: setting.clone(),
            stop_move: None,
            held,
            sawn,
            remaining: self.bench.told(self.rest)?,
            warnings,
        })
    }

    fn finished(&self, number: usize) -> Result<StockPiece> {
        let told = |units| self.bench.told(units);
        Ok(StockPiece {
            number,
            length: told(self.stick.length)?,
            trim: self.bench.list.told(self.bench.list.end_trim),
            parts: told(self.parts)?,
            kerf: told(self.kerf)?,
            offcut: told(self.rest)?,
            kept: self.rest > 0 && self.rest >= self.bench.problem.smallest_offcut,
        })
    }
}
