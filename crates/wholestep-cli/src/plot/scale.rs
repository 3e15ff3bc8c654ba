//! Values laid out along an edge of the page.

/// A span of values laid out between two places on the page.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    least: f64,
    most: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// The span of `values`, a part of it wider at both ends, between two places.
    pub(super) fn of(values: impl Iterator<Item = f64>, wider: f64, (from, to): (f64, f64)) -> Self {
        let (least, most) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), value| {
            (least.min(value), most.max(value))
        });
        let room = wider * (most - least).max(1e-9);
        Self { least: least - room, most: most + room, from, to }
    }

    pub(super) fn at(&self, value: f64) -> f64 {
        self.from + (value - self.least) / (self.most - self.least) * (self.to - self.from)
    }

    /// Round values across the span, about `count` of them.
    pub(super) fn marks(&self, count: f64) -> Vec<f64> {
        let rough = (self.most - self.least) / count;
        let power = 10_f64.powf(rough.log10().floor());
        let every = [1.0, 2.0, 5.0, 10.0].map(|part| part * power);
        let every = every.into_iter().find(|every| *every >= rough).unwrap_or(10.0 * power);
        let first = (self.least / every).ceil();
        (0..60)
            .map(|number| (first + f64::from(number)) * every)
            .take_while(|mark| *mark <= self.most)
            .collect()
    }
}

/// Places from top to bottom, moved apart until `apart` lies between each and the next, as little
/// further than that as a walk from the bottom up needs.
pub(super) fn spread(places: &mut [f64], apart: f64, bottom: f64) {
    for index in 1..places.len() {
        places[index] = places[index].max(places[index - 1] + apart);
    }
    let mut most = bottom;
    for place in places.iter_mut().rev() {
        *place = place.min(most);
        most = *place - apart;
    }
}
