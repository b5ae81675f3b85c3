//! What changes that come too early or too late cost.

use super::{Change, Kind};

/// A value for each kind of part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PerKind {
    /// Of a filter.
    pub filter: f64,
    /// Of a carbon bed.
    pub carbon: f64,
    /// Of all the membranes of a unit.
    pub membranes: f64,
}

impl PerKind {
    /// Of one kind.
    pub fn of(&self, kind: Kind) -> &f64 {
        match kind {
            Kind::Filter => &self.filter,
            Kind::Carbon => &self.carbon,
            Kind::Membranes => &self.membranes,
        }
    }
}

/// What early and late changes cost, in whatever money the prices are told in. The defaults are assumptions, for
/// want of a firm's own figures (common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumptions {
    /// The fixed calendar to compare with: days of service at which a part is changed.
    pub calendar_d: PerKind,
    /// Price of the part and of putting it in.
    pub price: PerKind,
    /// Price of a litre of permeate that was not made.
    pub litre_price: f64,
    /// Share of the usual litres that is not made while a part is past its limit.
    pub late_loss: PerKind,
    /// What each day past its limit does to other parts: chlorine to membranes, say.
    pub late_harm_d: PerKind,
    /// Days past its limit beyond which somebody would have noticed.
    pub noticed_d: f64,
}

impl Default for Assumptions {
    fn default() -> Self {
        Self {
            calendar_d: PerKind {
                filter: 180.0,
                carbon: 365.0,
                membranes: 1095.0,
            },
            price: PerKind {
                filter: 25.0,
                carbon: 45.0,
                membranes: 220.0,
            },
            litre_price: 0.01,
            late_loss: PerKind {
                filter: 0.15,
                carbon: 0.0,
                membranes: 0.2,
            },
            late_harm_d: PerKind {
                filter: 0.05,
                carbon: 1.0,
                membranes: 0.1,
            },
            noticed_d: 365.0,
        }
    }
}

/// What a way of choosing the day of a change cost, over all changes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cost {
    /// Changes counted.
    pub changes: usize,
    /// Days before their limit, of those that came early, together.
    pub early_d: f64,
    /// Days past their limit, of those that came late, together.
    pub late_d: f64,
    /// Litres of permeate not made while parts were past their limit.
    pub litres: f64,
    /// Money: the part of each life that was thrown away, the litres, and what was harmed.
    pub money: f64,
}

impl Assumptions {
    /// Adds what it would have cost to change this part at that age.
    pub(super) fn add(&self, cost: &mut Cost, change: &Change, age_d: f64) {
        let due = change.due_age_d.max(1.0);
        cost.changes += 1;
        if age_d < due {
            cost.early_d += due - age_d;
            cost.money += self.price.of(change.kind) * (1.0 - age_d.max(0.0) / due);
        } else {
            let late = (age_d - due).min(self.noticed_d);
            let litres = late * change.use_l_d * self.late_loss.of(change.kind);
            cost.late_d += late;
            cost.litres += litres;
            cost.money += litres * self.litre_price + late * self.late_harm_d.of(change.kind);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(age_d: f64, due_age_d: f64) -> Change {
        Change {
            unit: "a".to_owned(),
            part: "sediment".to_owned(),
            kind: Kind::Filter,
            at: jiff::Timestamp::UNIX_EPOCH,
            age_d,
            used_fraction: age_d / due_age_d,
            due_age_d,
            use_l_d: 200.0,
            told: [None; 3],
        }
    }

    #[test]
    fn val_early_and_late_by_hand() {
        // By hand: half of a life of 200 days thrown away is 12.5 of 25; ten days late are 10 x 200 x 0.15 = 300 L,
        // 3.00 and 0.50 of harm. 1e-12: rounding.
        let assumptions = Assumptions::default();
        let (mut early, mut late) = (Cost::default(), Cost::default());
        assumptions.add(&mut early, &change(100.0, 200.0), 100.0);
        assumptions.add(&mut late, &change(210.0, 200.0), 210.0);
        assert!((early.money - 12.5).abs() < 1e-12 && (early.early_d - 100.0).abs() < 1e-12);
        assert!((late.litres - 300.0).abs() < 1e-12 && (late.money - 3.5).abs() < 1e-12);
    }
}
