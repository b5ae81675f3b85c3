//! Units that a log leaves out, told from the size of its numbers where only one is plausible.

use quantity::{Context, Kind, find_unit};
use reading::Field;
use unit::{Arrangement, Unit};

use crate::target::Target;

/// What the rest of the log says of its country.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Family {
    pub(crate) american: usize,
    pub(crate) metric: usize,
}

impl Family {
    pub(crate) fn count(&mut self, unit: &quantity::Unit) {
        match unit.symbol {
            "psi" | "F" | "gpd" | "gpm" | "gph" | "gal" | "gpg" | "ftH2O" => self.american += 1,
            "bar" | "kPa" | "C" | "L/h" | "L/min" | "mL/min" | "m3/h" | "L/d" | "L" | "m3" | "dH" | "fH"
            | "kg/cm2" => {
                self.metric += 1;
            }
            _ => {}
        }
    }

    pub(crate) fn is_american(self) -> bool {
        self.american > self.metric
    }
}

/// The median of the values, none where there are none.
pub(crate) fn median(values: &[f64]) -> Option<f64> {
    let mut sorted: Vec<f64> = values.iter().copied().filter(|value| value.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied()
}

/// The only plausible unit of a column whose unit is not stated. Ranges are those of small units on drinking and
/// well water (common practice, no source).
pub(crate) fn unit_of(
    target: &Target,
    kind: Kind,
    values: &[f64],
    family: Family,
    unit: &Unit,
) -> Option<&'static quantity::Unit> {
    let middle = median(values)?;
    let symbol = match kind {
        Kind::Temperature => match middle {
            m if m >= 45.0 => "F",
            m if m <= 32.0 => "C",
            _ if family.is_american() => "F",
            _ => return None,
        },
        Kind::Pressure => match middle {
            m if (20.0..=200.0).contains(&m) => "psi",
            m if (0.3..=10.0).contains(&m) => "bar",
            m if (200.0..=1500.0).contains(&m) => "kPa",
            _ => return None,
        },
        Kind::Conductivity => {
            let feed = matches!(target, Target::Field(Field::FeedConductivity));
            match middle {
                m if m >= 20.0 || (!feed && m >= 1.0) => "uS/cm",
                m if feed && (0.05..5.0).contains(&m) => "mS/cm",
                m if !feed && (0.0005..0.3).contains(&m) => "mS/cm",
                _ => return None,
            }
        }
        Kind::Concentration => (middle <= 10.0).then_some("mg/L")?,
        Kind::Hours => "h",
        Kind::Minutes => (middle <= 600.0).then_some("min")?,
        Kind::Flow => return flow_unit(target, middle, family, unit),
        _ => return None,
    };
    find_unit(kind, symbol)
}

/// The unit in which a flow lies near what the unit is rated for.
fn flow_unit(target: &Target, middle: f64, family: Family, unit: &Unit) -> Option<&'static quantity::Unit> {
    let rated = match target {
        Target::Field(Field::ConcentrateFlow) => unit.concentrate.restrictor.flow_l_h,
        // Elements in series share the pressure less evenly, but not by the factors that tell units apart.
        _ => match unit.membranes.arrangement {
            Arrangement::Series | Arrangement::Parallel => unit
                .membranes
                .elements
                .iter()
                .map(|element| element.rated.flow_l_h)
                .sum(),
        },
    };
    let plausible = |symbols: &[&str]| {
        let found: Vec<_> = symbols
            .iter()
            .filter_map(|symbol| find_unit(Kind::Flow, symbol))
            .filter(|unit| {
                let flow = unit.to_base(middle, &Context::default()).unwrap_or(0.0);
                (0.3..=1.8).contains(&(flow / rated))
            })
            .collect();
        match found.as_slice() {
            [only] => Some(*only),
            _ => None,
        }
    };
    let all = ["L/h", "L/min", "mL/min", "L/d", "gpd", "gpm", "gph"];
    let (american, metric) = (["gpd", "gpm", "gph"], ["L/h", "L/min", "mL/min", "L/d"]);
    plausible(&all).or_else(|| {
        if family.is_american() {
            plausible(&american)
        } else if family.metric > 0 {
            plausible(&metric)
        } else {
            None
        }
    })
}
