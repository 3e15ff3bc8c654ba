//! A mechanism that answers whatever the bytes say, true or not: the search ends, asks only steps of
//! the span, and every decided answer agrees with what the mechanism said of that step.
#![no_main]

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use libfuzzer_sys::fuzz_target;
use wholestep::{Enclosure, Error, ErrorKind, Exact, Length, Measure, Mechanism, Result, Rounding, Width};

/// Answers in thousandths of a millimetre, off by a slope so that many tables do rise.
struct Table<'t> {
    first: i64,
    answers: &'t [(i8, u8)],
    slope: i8,
    /// Where it says the target is, true or not.
    hint: Option<i64>,
    asked: Cell<u32>,
    said: RefCell<BTreeMap<i64, Enclosure<Length>>>,
}

impl Mechanism for Table<'_> {
    type Measure = Length;

    fn span(&self) -> RangeInclusive<i64> {
        self.first..=self.first + self.answers.len() as i64 - 1
    }

    fn position_at(&self, step: i64, width: Width) -> Result<Enclosure<Length>> {
        assert!(self.span().contains(&step), "asked for step {step}");
        self.asked.set(self.asked.get() + 1);
        let index = step - self.first;
        let (offset, behaviour) = self.answers[index as usize];
        let thousandths = i128::from(index) * i128::from(self.slope) + i128::from(offset);
        let low = Length::from_base(Exact::new(thousandths, 1000)?)?;
        let wide = match behaviour % 8 {
            0..=3 => Exact::ZERO,
            4 | 5 => width.as_exact(),
            6 => Exact::new(1, 1_000_000_000)?,
            _ => return Err(Error::new(ErrorKind::Refused, "table")),
        };
        let shift = if behaviour > 200 { Exact::new(i128::from(width.as_decimals()), 10_000)? } else { Exact::ZERO };
        let low = Length::from_base(low.base().checked_add(shift)?)?;
        let position = Enclosure::new(low, Length::from_base(low.base().checked_add(wide)?)?)?;
        self.said.borrow_mut().insert(step, position);
        Ok(position)
    }

    fn step_before(&self, _: Length) -> Option<i64> {
        self.hint
    }
}

type Given = (i32, i8, Option<i64>, i16, Vec<(i8, u8)>);

fuzz_target!(|given: Given| {
    let (first, slope, hint, target, answers) = given;
    let Ok(target) = Exact::new(target.into(), 1000) else { return };
    let Ok(target) = Length::from_base(target) else { return };
    for rounding in Rounding::ALL {
        let (asked, said) = (Cell::new(0), RefCell::default());
        let hint = hint.map(|offset| i64::from(first).saturating_add(offset));
        let table = Table { first: first.into(), answers: &answers, slope, hint, asked, said };
        let located = table.locate(target, rounding);
        assert!(table.asked.get() <= 400, "asked {} times", table.asked.get());
        let Ok(located) = located else { continue };
        let said = table.said.borrow();
        let there = said.get(&located.step).expect("an answer about a step that was asked for");
        if !located.is_decided {
            continue;
        }
        match rounding {
            Rounding::Below => assert!(there.low() <= target),
            Rounding::Above => assert!(there.high() >= target),
            Rounding::Nearest => {}
        }
    }
});
