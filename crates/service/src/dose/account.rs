//! How the volumes and doses of a card were computed.

use account::{Account, Equation, Measure, Origin, symbol};
use unit::{StageKind, Unit};

use super::{BLEACH_MG_ML, Doses, vessel_l};
use crate::error::CardError;

const VOLUMES: &str = "a 10-inch bowl, tubes of 4 mm bore, a vessel by the size of its element: from memory, typical, to the high side";
const PRACTICE: &str = "common practice, no source";

/// Bleach for the whole unit.
const BLEACH: Equation = Equation {
    name: "bleach",
    formula: "V_b = V * c / c_b",
    symbols: &[
        symbol("V_b", "bleach-volume", Measure::Volume),
        symbol("V", "empty-volume", Measure::Volume),
        symbol("c", "chlorine-wanted", Measure::Concentration),
        symbol("c_b", "chlorine-of-bleach", Measure::Concentration),
    ],
    source: "50 mg/L for one hour: guidance G13.1 to the Water Supply (Water Fittings) Regulations 1999 (UK) and BS 6700:2006 \
             clause 3.1.10; household bleach of 5 %",
};

/// What the unit holds with its cartridges out.
const EMPTY_VOLUME: Equation = Equation {
    name: "empty-volume",
    formula: "V = sum(V_i)",
    symbols: &[
        symbol("V", "empty-volume", Measure::Volume),
        symbol("V_i", "part-volume", Measure::Volume),
    ],
    source: VOLUMES,
};

/// A chemical in the bath that is pumped through the membranes, g.
const BATH: Equation = Equation {
    name: "bath",
    formula: "m = c * V",
    symbols: &[
        symbol("m", "grams", Measure::Number),
        symbol("c", "grams-per-litre", Measure::Number),
        symbol("V", "bath-volume", Measure::Volume),
    ],
    source: "common practice, no source; the pH that it gives is computed from dissociation constants (CRC Handbook)",
};

/// The bath itself.
const BATH_VOLUME: Equation = Equation {
    name: "bath-volume",
    formula: "V = V_e + V_s + V_r",
    symbols: &[
        symbol("V", "bath-volume", Measure::Volume),
        symbol("V_e", "element-volume", Measure::Volume),
        symbol("V_s", "spare-volume", Measure::Volume),
        symbol("V_r", "rounding-volume", Measure::Volume),
    ],
    source: PRACTICE,
};

/// What stands on the feed side of the elements and round them.
const ELEMENT_VOLUME: Equation = Equation {
    name: "element-volume",
    formula: "V_e = 1000 * h * s / 2 * sum(A_i) + sum(V_i) / 6",
    symbols: &[
        symbol("V_e", "element-volume", Measure::Volume),
        symbol("h", "channel-height", Measure::Number),
        symbol("s", "channel-porosity", Measure::Share),
        symbol("A_i", "membrane-area", Measure::Area),
        symbol("V_i", "vessel-volume", Measure::Volume),
    ],
    source: "a spacer channel between two sheets, and a sixth of the vessel round the element: from memory, typical",
};

/// What a carbon is rinsed with where its maker says nothing.
const RINSE: Equation = Equation {
    name: "rinse",
    formula: "V = max(n * V_b, V_0) + V_r",
    symbols: &[
        symbol("V", "rinse-volume", Measure::Volume),
        symbol("n", "rinse-beds", Measure::Number),
        symbol("V_b", "bed-volume", Measure::Volume),
        symbol("V_0", "least-rinse", Measure::Volume),
        symbol("V_r", "rounding-volume", Measure::Volume),
    ],
    source: PRACTICE,
};

/// What a carbon is rinsed with as the unit says.
const RINSE_STATED: Equation = Equation {
    name: "rinse-stated",
    formula: "V = V_m + V_r",
    symbols: &[
        symbol("V", "rinse-volume", Measure::Volume),
        symbol("V_m", "rinse-stated", Measure::Volume),
        symbol("V_r", "rounding-volume", Measure::Volume),
    ],
    source: "the description of the unit",
};

/// All equations of volumes and doses.
pub const EQUATIONS: [&Equation; 7] = [
    &BLEACH,
    &EMPTY_VOLUME,
    &BATH,
    &BATH_VOLUME,
    &ELEMENT_VOLUME,
    &RINSE,
    &RINSE_STATED,
];

/// The dose of a work on the whole unit, by its name (`sanitise`, `descale`, `clean`, `lay_up`): the dose first, then the
/// volumes that it stands on. Empty for any other work.
///
/// # Errors
/// [`CardError::Texts`] where the built-in table cannot be read.
pub fn of_dose(unit: &Unit, work: &str) -> Result<Vec<Account>, CardError> {
    let doses = Doses::load()?;
    Ok(match work {
        "sanitise" => doses.of_bleach(unit),
        "descale" => doses.of_bath(unit, doses.descale.g_l),
        "clean" => doses.of_bath(unit, doses.clean.g_l),
        "lay_up" => doses.of_bath(unit, doses.preserve.g_l),
        _ => Vec::new(),
    })
}

/// What a carbon stage is rinsed with; empty where it is none.
///
/// # Errors
/// [`CardError::Texts`] where the built-in table cannot be read.
pub fn of_rinse(unit: &Unit, stage: &str) -> Result<Vec<Account>, CardError> {
    let doses = Doses::load()?;
    let Some(stage) = unit.stage(stage) else {
        return Ok(Vec::new());
    };
    let StageKind::Carbon {
        rinse_l,
        bed_volume_l,
        ..
    } = &stage.kind
    else {
        return Ok(Vec::new());
    };
    let litres = doses.rinse_l(stage);
    let account = match rinse_l {
        Some(stated) => Account::of(&RINSE_STATED, litres)
            .with("V_m", *stated, Origin::Described)
            .with("V_r", litres - stated, Origin::Constant),
        None => {
            let bed = bed_volume_l.unwrap_or(0.0);
            let practice = (doses.rinse.bed_volumes * bed).max(doses.rinse.least_l);
            Account::of(&RINSE, litres)
                .with("n", doses.rinse.bed_volumes, Origin::Constant)
                .with("V_b", bed, Origin::Described)
                .with("V_0", doses.rinse.least_l, Origin::Constant)
                .with("V_r", litres - practice, Origin::Constant)
        }
    };
    Ok(vec![account])
}

impl Doses {
    fn of_bleach(&self, unit: &Unit) -> Vec<Account> {
        let mut volume = Account::of(&EMPTY_VOLUME, self.empty_volume_l(unit));
        for stage in &unit.stages {
            volume = volume.with("V_i", self.stage_l(stage), Origin::Described);
        }
        for element in &unit.membranes.elements {
            volume = volume.with("V_i", vessel_l(element), Origin::Described);
        }
        for item in &unit.permeate.polish {
            volume = volume.with("V_i", self.polish_l(item), Origin::Described);
        }
        volume = volume.with("V_i", self.tubes_l(unit), Origin::Constant);
        let (wanted, of_bleach) = (self.sanitise.free_chlorine_mg_l, BLEACH_MG_ML * 1000.0);
        let bleach = Account::of(&BLEACH, volume.value * wanted / of_bleach)
            .from("V", &volume)
            .with("c", wanted, Origin::Constant)
            .with("c_b", of_bleach, Origin::Constant);
        vec![bleach, volume]
    }

    fn of_bath(&self, unit: &Unit, g_l: f64) -> Vec<Account> {
        let table = &self.volume;
        let mut inside = Account::of(&ELEMENT_VOLUME, self.element_volume_l(unit))
            .with("h", table.feed_channel_height_m, Origin::Constant)
            .with("s", table.feed_channel_porosity, Origin::Constant);
        for element in &unit.membranes.elements {
            inside = inside.with("A_i", element.area_m2(), Origin::Described).with(
                "V_i",
                vessel_l(element),
                Origin::Described,
            );
        }
        let needed = inside.value + table.circulation_spare_l;
        let volume = Account::of(&BATH_VOLUME, needed.ceil())
            .from("V_e", &inside)
            .with("V_s", table.circulation_spare_l, Origin::Constant)
            .with("V_r", needed.ceil() - needed, Origin::Constant);
        let bath = Account::of(&BATH, g_l * volume.value)
            .with("c", g_l, Origin::Constant)
            .from("V", &volume);
        vec![bath, volume, inside]
    }
}
