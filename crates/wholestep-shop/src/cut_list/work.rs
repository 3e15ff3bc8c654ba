//! From a cut list to its cuts.

use std::collections::BTreeMap;

use wholestep::axis::Approach;
use wholestep::{Angle, Axis, Enclosure, Exact, Length, Measure, Mechanism, Result, Rounding};

use super::lay::{self, Laid, Slants};
use super::nesting::{self, Item, Nested, Nesting, Problem, Reason, nest};
use super::order::{self, Candidate, Piece};
use super::part::Extent;
use super::setting::{self, Set};
use super::units::Units;
use super::{
    Bounds, Cut, CutList, CutSheet, Dimension, Held, MarkedPiece, StockPiece, Totals, Touch, Unplaced,
};
use crate::caution::{CROSSCUT, MITRE};

/// Works out a cut list that has been checked.
pub(super) fn out<M: Mechanism<Measure = Length>>(list: &CutList, axis: &Axis<M>) -> Result<CutSheet> {
    let ways = list.parts.iter().map(|part| lay::ways(part, list)).collect::<Result<Vec<_>>>()?;
    let set = |stop| setting::set(axis, stop, list.rounding, list.unit);
    let settings = list.parts.iter().zip(&ways).map(|(part, ways)| {
        let settings = ways.iter().map(|way| set(way.extent.stop)).collect::<Result<_>>();
        settings.map_err(|error| error.of_entry(part.quoted()))
    });
    let settings = settings.collect::<Result<Vec<Vec<_>>>>()?;
    let backed_off = |stop: Enclosure<Length>| {
        let gap = list.stop_gap.map(|gap| stop.checked_add(Enclosure::exact(gap)));
        gap.map(|stop| set(stop?)).transpose()
    };
    let marks = list.marks.iter().map(|marks| {
        let places = marks.places(list.unit)?;
        let settings = places.into_iter().map(|place| Ok(set(Enclosure::exact(place))?.0));
        let length = list.told(marks.length);
        Ok(MarkedPiece { name: marks.name.clone(), length, marks: settings.collect::<Result<_>>()? })
    });
    let marks = marks.collect::<Result<_>>()?;

    let bench = Bench::new(list, ways)?;
    let nesting = nest(&bench.problem);
    let pieces = nesting.pieces.iter().map(|nested| bench.piece(nested, &settings));
    let pieces = pieces.collect::<Result<Vec<_>>>()?;
    let hold = bench.problem.hold;
    let sequence = if list.finish_each_piece {
        order::board_after_board(&pieces)
    } else {
        order::least_travel(&pieces, hold)
    };

    // Boards are numbered as they are lifted onto the saw.
    let mut lifted: Vec<usize> = Vec::new();
    let mut numbers = vec![0; pieces.len()];
    for &(piece, _) in &sequence {
        if numbers[piece] == 0 {
            lifted.push(piece);
            numbers[piece] = lifted.len();
        }
    }
    let mut saws: Vec<Saw<'_>> = nesting.pieces.iter().map(|nested| Saw::new(&bench, nested)).collect();
    let mut placements = Vec::new();
    let cuts = sequence.iter().enumerate().map(|(at, &(piece, cut))| {
        let Candidate { part, way, .. } = pieces[piece].cuts[cut];
        let (setting, placement) = &settings[part][way];
        let mut cut = saws[piece].cut(at + 1, numbers[piece], (part, way), setting)?;
        placements.extend(*placement);
        if cut.held == Held::Stock
            && let Some((setting, placement)) = backed_off(bench.ways[part][way].extent.stop)?
        {
            cut.backed_off = Some(setting);
            placements.extend(placement);
        }
        Ok(cut)
    });
    let cuts = cuts.collect::<Result<Vec<_>>>()?;
    let stock =
        lifted.iter().map(|&piece| saws[piece].finished(numbers[piece])).collect::<Result<Vec<_>>>()?;
    let moves = setting::moves(&placements)?;
    let totals = bench.totals(&nesting, &stock, &cuts, moves)?;
    let (unplaced, cautions) = (unplaced(list, &nesting), cautions(&cuts));
    Ok(CutSheet { cuts, marks, stock, unplaced, totals, warnings: arrival(axis), cautions })
}

/// A stop that arrives away from the blade rests on the wrong flank: a bumped board pushes it through the
/// play.
fn arrival<M: Mechanism<Measure = Length>>(axis: &Axis<M>) -> Vec<String> {
    let config = axis.config();
    let arrives = match config.approach {
        Approach::FromAbove => return Vec::new(),
        Approach::Either if config.backlash == Length::ZERO => return Vec::new(),
        Approach::Either => "from either side",
        Approach::FromBelow => "away from the blade",
    };
    vec![format!(
        "the stop arrives {arrives}, so that a bumped board pushes it through the play: write approach = \
         \"from_above\" in [motion] of the axis file"
    )]
}

fn cautions(cuts: &[Cut]) -> Vec<&'static str> {
    let mitred = cuts.iter().any(Cut::is_mitred);
    [(!cuts.is_empty()).then_some(CROSSCUT), mitred.then_some(MITRE)].into_iter().flatten().collect()
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
    /// How each part may be laid.
    ways: Vec<Vec<Laid>>,
    slants: Slants,
    problem: Problem,
}

impl<'a> Bench<'a> {
    fn new(list: &'a CutList, ways: Vec<Vec<Laid>>) -> Result<Self> {
        let slants = Slants::of(ways.iter().flatten(), list)?;
        let extents = ways.iter().map(|ways| ways[0].extent);
        let units = Units::common(
            extents
                .flat_map(|extent| [extent.overall.low(), extent.overall.high(), extent.holdable])
                .chain(slants.lengths())
                .chain(list.stock.iter().map(|stock| stock.length))
                .chain([list.kerf, list.end_trim, list.smallest_offcut, list.shortest_to_hold]),
        )?;
        let items = ways.iter().zip(&list.parts).map(|(ways, part)| {
            let Extent { overall, holdable, .. } = ways[0].extent;
            let length = units.count(overall.high());
            Item {
                length,
                rounded_up: length - units.count(overall.low()),
                holdable: units.count(holdable),
                quantity: usize::try_from(part.quantity).unwrap_or(usize::MAX),
                lays: ways.iter().map(|way| slants.lay(way)).collect(),
            }
        });
        let items = items.collect();
        let hold = units.count(list.shortest_to_hold);
        let trim = trim(list, units);
        let stock = list.stock.iter().map(|stock| {
            let length = units.count(stock.length);
            let usable = length - trim;
            // What the trimming cut leaves must be long enough to hold, too.
            let usable = if trim > 0 && usable < hold { 0 } else { usable };
            let quantity = stock.quantity.map(|quantity| usize::try_from(quantity).unwrap_or(usize::MAX));
            nesting::StockPiece { length, usable, quantity }
        });
        let stock = stock.collect();
        let smallest_offcut = units.count(list.smallest_offcut);
        let problem = Problem { items, stock, kerfs: slants.kerfs(list, units), hold, smallest_offcut };
        Ok(Self { list, units, ways, slants, problem })
    }

    fn piece(&self, nested: &Nested, settings: &[Vec<Set>]) -> Result<Piece> {
        let lays = nested.lays.as_deref().unwrap_or_default();
        let cuts = nested.items.iter().enumerate().map(|(at, &part)| {
            let way = lays.get(at).copied().unwrap_or(0);
            let item = &self.problem.items[part];
            let stop = self.ways[part][way].extent.stop.low();
            Ok(Candidate {
                part,
                way,
                stop,
                travel: settings[part][way].1.map(|_| fine(stop)).transpose()?,
                room: item.length + self.units.count(self.list.kerf),
                holds: item.holdable >= self.problem.hold,
            })
        });
        Ok(Piece {
            usable: self.problem.stock[nested.stock].usable,
            cuts: cuts.collect::<Result<_>>()?,
            in_order: nested.lays.is_some(),
        })
    }

    fn told(&self, units: i128) -> Result<Dimension> {
        Ok(self.list.told(self.units.length(units)?))
    }

    fn totals(
        &self,
        nesting: &Nesting,
        stock: &[StockPiece],
        cuts: &[Cut],
        (travel, stop_moves): (Enclosure<Length>, usize),
    ) -> Result<Totals> {
        let sum = |of: fn(&StockPiece) -> Length| {
            stock.iter().try_fold(Length::ZERO, |sum, piece| sum.checked_add(of(piece)))
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
            waste: self.list.told(stock_length.checked_sub(parts)?.checked_sub(kept)?),
            stop_travel: Bounds::of(travel, self.list.unit),
            stop_moves,
            seconds_moving: None,
            moves_without_time: 0,
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
    Ok(stop.base().checked_mul(Exact::new(1 << 30, 1)?)?.round(Rounding::Nearest))
}

/// One piece of stock on the saw.
///
/// Places count from its trimmed end. A part stands between its outermost points; its corners at the
/// fence are told of them.
struct Saw<'a> {
    bench: &'a Bench<'a>,
    stick: &'a nesting::StockPiece,
    /// The outermost point of the part cut last, and the slant of its cut.
    end: Option<(i128, usize)>,
    /// How far the edge at the fence is used up, the last kerf included.
    used: i128,
    parts: i128,
    wedges: i128,
    kerf: i128,
    /// How many cuts were made, the trimming cut included.
    cuts: u32,
    /// What is left by its shorter edge.
    rest: i128,
}

impl<'a> Saw<'a> {
    fn new(bench: &'a Bench<'a>, nested: &Nested) -> Self {
        let stick = &bench.problem.stock[nested.stock];
        let trimmed = bench.list.end_trim > Length::ZERO;
        let kerf = if trimmed { bench.units.count(bench.list.kerf) } else { 0 };
        let cuts = u32::from(trimmed);
        Self { bench, stick, end: None, used: 0, parts: 0, wedges: 0, kerf, cuts, rest: stick.usable }
    }

    fn cut(
        &mut self,
        number: usize,
        stock: usize,
        (part, way): (usize, usize),
        setting: &super::Setting,
    ) -> Result<Cut> {
        let bench = self.bench;
        let (list, kerfs) = (bench.list, &bench.problem.kerfs);
        let (drawn, item) = (&list.parts[part], &bench.problem.items[part]);
        let (laid, lay) = (&bench.ways[part][way], item.lays[way]);
        let start = self.end.map_or(0, |(end, slant)| end + kerfs.between(slant, lay.left));
        let end = start + item.length;
        let saw_left_first = lay.left != self.end.map_or(0, |(_, slant)| slant);
        let begins = start + if laid.left < Angle::ZERO { kerfs.reach(lay.left) } else { 0 };
        let ends = end - if laid.right < Angle::ZERO { kerfs.reach(lay.right) } else { 0 };
        let kerf = kerfs.kerf(lay.right).min(self.stick.usable - ends);
        self.wedges += begins - self.used;
        self.parts += ends - begins;
        self.kerf += kerf;
        self.used = ends + kerf;
        self.rest = (self.stick.usable - end - kerfs.kerf(lay.right)).max(0);
        self.end = Some((end, lay.right));

        let ends_with_stock = end == self.stick.usable;
        let sawn = !ends_with_stock || laid.right != Angle::ZERO;
        let held = match bench.problem.hold {
            0 => Held::NotChecked,
            hold if item.holdable >= hold || !sawn => Held::Part,
            _ => Held::Stock,
        };
        self.cuts += u32::from(saw_left_first) + u32::from(sawn);
        let mut warnings = Vec::new();
        if sawn && kerf < kerfs.kerf(lay.right) {
            let left = if laid.right == Angle::ZERO {
                format!("only {} is left for a kerf of {}", bench.told(kerf)?, list.told(list.kerf))
            } else {
                "less than a full kerf is left".into()
            };
            warnings.push(format!("{left}, which pushes the blade aside: take longer stock"));
        } else if sawn && self.used == self.stick.usable {
            warnings.push("nothing to spare: a kerf wider by a hair leaves the last part short".into());
        }
        warnings.extend(self.spare_used_up()?);
        if ends_with_stock && !sawn {
            warnings.push("nothing to saw off; check its length against the stop".into());
            if list.end_trim > Length::ZERO {
                warnings.push("its far end is the raw end of the stock".into());
            }
        }
        if setting.placement.as_ref().is_some_and(|placed| !placed.is_decided) {
            warnings.push("the bounds do not tell which of two neighbouring steps is nearer".into());
        }
        Ok(Cut {
            number,
            stock,
            part: drawn.name.clone(),
            length: list.told(drawn.length),
            measured_to: drawn.measured_to,
            turn: laid.turn,
            left: laid.left,
            right: laid.right,
            saw_left_first,
            stop_touches: Touch::of(laid.left),
            left_reach: Bounds::of(bench.slants.reach(laid.left), list.unit),
            setting: setting.clone(),
            stop_move: None,
            backed_off: None,
            back_off_move: None,
            held,
            sawn,
            remaining: bench.told(self.stick.usable - self.used)?,
            warnings,
        })
    }

    /// The kerfs may be wider than said, by more than there is to spare.
    fn spare_used_up(&self) -> Result<Option<String>> {
        let list = self.bench.list;
        let spare = self.bench.told(self.stick.usable - self.used)?;
        let need = list.kerf_error.checked_mul(Exact::integer(self.cuts.into()))?;
        if spare.length >= need || spare.length == Length::ZERO {
            return Ok(None);
        }
        let (cuts, error, need) = (self.cuts, list.told(list.kerf_error), list.told(need));
        Ok(Some(format!(
            "{spare} to spare, and {cuts} kerfs, each up to {error} wider, may take {need}: measure the kerf, or \
             take longer stock"
        )))
    }

    fn finished(&self, number: usize) -> Result<StockPiece> {
        let told = |units| self.bench.told(units);
        Ok(StockPiece {
            number,
            length: told(self.stick.length)?,
            trim: self.bench.list.told(self.bench.list.end_trim),
            parts: told(self.parts)?,
            wedges: told(self.wedges)?,
            kerf: told(self.kerf)?,
            offcut: told(self.stick.usable - self.used)?,
            kept: self.rest > 0 && self.rest >= self.bench.problem.smallest_offcut,
        })
    }
}
