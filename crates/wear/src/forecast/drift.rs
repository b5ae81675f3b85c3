//! How restrictor and pump wear: their logarithms wander, each stretch of time by an unknown step along a straight line.

/// Where the stretches begin, days before now; the first begins with the unit. What is long past needs little detail.
const BEGIN_D: [f64; 2] = [-730.5, -243.5];

/// The stretches of time up to now.
#[derive(Clone, Debug, Default)]
pub(super) struct Drift {
    /// Beginning and end of each, days from now.
    stretches: Vec<(f64, f64)>,
}

impl Drift {
    /// Since the unit's first day, days from now.
    pub(super) fn since(start_d: f64) -> Self {
        let inner = BEGIN_D.into_iter().filter(|d| *d > start_d + 91.0);
        let starts: Vec<f64> = std::iter::once(start_d).chain(inner).collect();
        let ends = starts.iter().skip(1).copied().chain([0.0]);
        let stretches = starts.iter().copied().zip(ends).filter(|(from, to)| to > from);
        Self {
            stretches: stretches.collect(),
        }
    }

    /// Years that each lasts.
    pub(super) fn years(&self) -> impl Iterator<Item = f64> {
        self.stretches.iter().map(|(from, to)| (to - from) / 365.25)
    }

    /// Share of each stretch's step that is done by a day; those that have not begun are left out.
    pub(super) fn done(&self, d: f64) -> impl Iterator<Item = f64> {
        let begun = self.stretches.iter().take_while(move |(from, _)| *from < d);
        begun.map(move |(from, to)| ((d - from) / (to - from)).min(1.0))
    }
}
