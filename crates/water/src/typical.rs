//! What a water is taken to be where it was not analysed: `data/typical.csv`.

use std::sync::LazyLock;

/// A typical value with one standard deviation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Quantity {
    CalciumShare,
    AlkalinityPerHardness,
    ChlorideShare,
    SodiumShare,
    Ph,
    Temperature,
}

impl Quantity {
    pub(crate) const ALL: [Self; 6] = [
        Self::CalciumShare,
        Self::AlkalinityPerHardness,
        Self::ChlorideShare,
        Self::SodiumShare,
        Self::Ph,
        Self::Temperature,
    ];

    fn name(self) -> &'static str {
        match self {
            Self::CalciumShare => "calcium_share",
            Self::AlkalinityPerHardness => "alkalinity_per_hardness",
            Self::ChlorideShare => "chloride_share",
            Self::SodiumShare => "sodium_share",
            Self::Ph => "ph",
            Self::Temperature => "temperature",
        }
    }
}

/// The typical values, and which of them a completion used.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Typical {
    value: [f64; 6],
    sd: [f64; 6],
}

static TYPICAL: LazyLock<Typical> = LazyLock::new(|| {
    let (mut value, mut sd) = ([0.0; 6], [0.0; 6]);
    for line in include_str!("../data/typical.csv").lines().skip(1) {
        let mut cells = line.split('|');
        let name = cells.next().unwrap_or_default();
        if let Some(q) = Quantity::ALL.into_iter().find(|q| q.name() == name) {
            value[q as usize] = cells.next().and_then(|c| c.parse().ok()).unwrap_or(f64::NAN);
            sd[q as usize] = cells.next().and_then(|c| c.parse().ok()).unwrap_or(f64::NAN);
        }
    }
    Typical { value, sd }
});

impl Typical {
    pub(crate) fn new() -> Self {
        *TYPICAL
    }

    pub(crate) fn get(&self, quantity: Quantity) -> f64 {
        self.value[quantity as usize]
    }

    /// The same with one quantity `deviations` standard deviations away, shares kept between 0.02 and 0.98.
    pub(crate) fn moved(mut self, quantity: Quantity, deviations: f64) -> Self {
        let i = quantity as usize;
        self.value[i] = match quantity {
            Quantity::AlkalinityPerHardness => self.value[i] * (1.0 + self.sd[i]).powf(deviations),
            Quantity::Ph | Quantity::Temperature => self.value[i] + deviations * self.sd[i],
            _ => (self.value[i] + deviations * self.sd[i]).clamp(0.02, 0.98),
        };
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_quantity_is_in_the_file() {
        let t = Typical::new();
        for q in Quantity::ALL {
            assert!(t.get(q).is_finite() && t.sd[q as usize] > 0.0, "{q:?}");
        }
    }
}
