//! From what a pocket meter shows to a concentration and its osmotic pressure, by the water's own ratio.

use water::{Analysis, PermeateModel, Water};

/// How conductivity, concentration and osmotic pressure hang together in one feed and its permeate.
#[derive(Clone, Debug, PartialEq)]
pub struct Salt {
    /// mg/L per uS/cm at 25 C.
    pub ratio: f64,
    /// pi = `osmotic_slope` C (T + 273.15) / (1000 - `osmotic_curve` C / 1000), kPa, C in mg/L.
    pub osmotic_slope: f64,
    /// 1 for sodium chloride, 0 for the straight rule.
    pub osmotic_curve: f64,
    /// Relative standard deviation of the osmotic pressure, the same in every reading of the unit.
    pub osmotic_sd: f64,
    /// The feed's conductivity where no reading says it, uS/cm.
    pub feed_us_cm: Option<f64>,
    /// Standard deviation of what carbon dioxide leaves in the permeate's conductivity, uS/cm, the same in every
    /// reading of the unit.
    pub co2_sd_us_cm: f64,
    /// What the reader should know of how this was found.
    pub assumed: Vec<String>,
    permeate: Option<PermeateTable>,
}

/// Coefficient of ASTM D4516's relation for sodium chloride (`check-values.md` F3; from memory).
const D4516_SLOPE: f64 = 0.2654;
/// Osmotic pressure per conductivity at 25 C, kPa per uS/cm (`model.md` 1: computed with PHREEQC), sd 12 %.
const RULE_KPA_PER_US_CM: f64 = 0.038;
/// mg/L per uS/cm of sodium chloride near 500 mg/L (`check-values.md` 4.19: PHREEQC).
const NACL_RATIO: f64 = 0.494;
/// Where the feed's pH and alkalinity are not known, carbon dioxide leaves 0 to 3 uS/cm (`model.md` 1); 1 is the
/// standard deviation of what is even over that range, a little widened.
const CO2_UNKNOWN_SD_US_CM: f64 = 1.0;
/// Where they are known, what an error of 0.1 in a field kit's pH leaves (common practice, no source).
const CO2_KNOWN_SD_US_CM: f64 = 0.3;

impl Salt {
    /// The salt of a feed.
    ///
    /// With conductivity and dissolved salt and no ion the one salt is sodium chloride with the water's own
    /// ratio. With ions, ratio and osmotic pressure are those of the speciated water, and where pH and alkalinity
    /// are known the permeate's carbon dioxide is taken out of its conductivity. Without a water only conductivity
    /// is known.
    pub fn of(feed: Option<&Analysis>) -> Self {
        let Some(feed) = feed else {
            return Self::by_conductivity(
                NACL_RATIO,
                None,
                "No analysis of the feed: osmotic pressure is 0.038 kPa per uS/cm (12 %), and concentrations are \
                 shown as sodium chloride.",
            );
        };
        let stated = feed
            .tds_mg_l
            .zip(feed.conductivity_us_cm)
            .filter(|(tds, us)| *tds > 0.0 && *us > 0.0);
        let ratio = stated.map(|(tds, us)| tds / us);
        if feed.is_one_salt() {
            let mut assumed = vec!["The feed's one salt is taken as sodium chloride.".to_owned()];
            assumed.push(co2_unknown());
            return Self {
                ratio: ratio.unwrap_or(NACL_RATIO),
                osmotic_slope: D4516_SLOPE,
                osmotic_curve: 1.0,
                osmotic_sd: 0.03,
                feed_us_cm: feed
                    .conductivity_us_cm
                    .or(feed.tds_mg_l.map(|tds| tds / NACL_RATIO)),
                co2_sd_us_cm: CO2_UNKNOWN_SD_US_CM,
                assumed,
                permeate: None,
            };
        }
        match Water::complete(feed) {
            Ok(water) => Self::of_water(&water),
            Err(errors) => {
                // 0.7 mg/L per uS/cm: natural waters 0.62 to 0.80 with bicarbonate whole (check-values 4.21).
                let ratio = ratio.unwrap_or(0.7);
                let feed_us_cm = feed.conductivity_us_cm.or(feed.tds_mg_l.map(|tds| tds / ratio));
                let why = errors.first().map_or_else(String::new, ToString::to_string);
                let assumed = format!(
                    "The analysis of the feed can't be computed with ({why}): osmotic pressure is 0.038 kPa per uS/cm \
                     (12 %), dissolved salt {ratio:.2} mg/L per uS/cm."
                );
                Self::by_conductivity(ratio, feed_us_cm, &assumed)
            }
        }
    }

    /// By the speciated water: its own ratio, its own osmotic pressure, its own carbon dioxide.
    fn of_water(water: &Water) -> Self {
        let feed = water.speciation();
        let ratio = water.tds_per_us_cm();
        let tds = water.tds_mg_l();
        let kelvin = feed.temperature_c() + 273.15;
        let osmotic_slope = feed.osmotic_pressure_kpa() * 1000.0 / (tds * kelvin);
        let analysis = water.analysis();
        let carbonate_known = analysis.ph.is_some() && analysis.alkalinity_mg_l_caco3.is_some();
        let permeate = carbonate_known.then(|| PermeateTable::of(water)).flatten();
        let mut assumed = water
            .assumed()
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<String>>();
        if permeate.is_none() {
            assumed.push(co2_unknown());
        }
        Self {
            ratio,
            osmotic_slope,
            osmotic_curve: 0.0,
            osmotic_sd: 0.03,
            feed_us_cm: Some(water.conductivity_us_cm()),
            co2_sd_us_cm: if permeate.is_some() {
                CO2_KNOWN_SD_US_CM
            } else {
                CO2_UNKNOWN_SD_US_CM
            },
            assumed,
            permeate,
        }
    }

    fn by_conductivity(ratio: f64, feed_us_cm: Option<f64>, assumed: &str) -> Self {
        Self {
            ratio,
            osmotic_slope: RULE_KPA_PER_US_CM * 1000.0 / (ratio * 298.15),
            osmotic_curve: 0.0,
            osmotic_sd: 0.12,
            feed_us_cm,
            co2_sd_us_cm: CO2_UNKNOWN_SD_US_CM,
            assumed: vec![assumed.to_owned(), co2_unknown()],
            permeate: None,
        }
    }

    /// Concentration of a permeate that conducts so much at 25 C, mg/L: the feed's own ratio, or, where the feed's
    /// carbonate is known, the salt that passed without the carbon dioxide that passed with it.
    pub fn permeate_mg_l(&self, us_cm: f64) -> f64 {
        self.permeate
            .as_ref()
            .map_or(us_cm * self.ratio, |table| table.mg_l(us_cm))
    }
}

fn co2_unknown() -> String {
    "Without the feed's pH and alkalinity, carbon dioxide may make 0 to 3 uS/cm of the permeate's conductivity that \
     are no salt; the salt passage is that much uncertain."
        .to_owned()
}

/// Concentration of the permeate by its conductivity, between points that the chemistry computed once.
#[derive(Clone, Debug, PartialEq)]
struct PermeateTable {
    /// (uS/cm, mg/L), rising; the first is what carbon dioxide alone makes.
    points: Vec<(f64, f64)>,
}

/// Points of the table over the salt passages from 0 to 1, closer where permeates are.
const POINTS: u32 = 24;
/// A permeate under what carbon dioxide alone makes holds at least this share of the feed: less than any meter of
/// the trade can tell, and above 0 so that its logarithm is one.
const LEAST_SALT_PASSAGE: f64 = 5e-4;

impl PermeateTable {
    fn of(water: &Water) -> Option<Self> {
        let feed = water.speciation();
        let model = PermeateModel::new(feed, feed.composition()).ok()?;
        let tds = water.tds_mg_l();
        let mut points = vec![(model.floor_us_cm(), LEAST_SALT_PASSAGE * tds)];
        for step in 1..=POINTS {
            let share = f64::from(step) / f64::from(POINTS);
            let salt_passage = LEAST_SALT_PASSAGE + share * share * share;
            let permeate = model.at(salt_passage.min(1.0)).ok()?;
            points.push((permeate.conductivity_us_cm, salt_passage.min(1.0) * tds));
        }
        // The first traces of bicarbonate take up acid, whose ions conduct best: the conductivity dips before it
        // rises, and below its least value no reading tells how little salt there is.
        let least = points
            .iter()
            .enumerate()
            .min_by(|a, b| a.1.0.total_cmp(&b.1.0))
            .map_or(0, |(index, _)| index);
        points.drain(..least);
        let rising = points.windows(2).all(|pair| matches!(pair, [a, b] if a.0 < b.0));
        (rising && points.len() >= 2).then_some(Self { points })
    }

    /// Straight between the points, level below the first, by the last slope above.
    fn mg_l(&self, us_cm: f64) -> f64 {
        let above = self.points.partition_point(|(known, _)| *known <= us_cm);
        let last = self.points.len().saturating_sub(1);
        let (Some(low), Some(high)) = (
            self.points.get(above.clamp(1, last.max(1)) - 1),
            self.points.get(above.clamp(1, last.max(1))),
        ) else {
            return self.points.first().map_or(f64::NAN, |(_, mg_l)| *mg_l);
        };
        let slope = (high.1 - low.1) / (high.0 - low.0);
        (low.1 + slope * (us_cm - low.0)).max(self.points.first().map_or(0.0, |(_, mg_l)| *mg_l))
    }
}
