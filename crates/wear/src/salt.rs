//! From what a pocket meter shows to a concentration and its osmotic pressure, by the water's own ratio.

use water::Analysis;

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
    /// What the reader should know of how this was found.
    pub assumed: Option<String>,
}

/// Coefficient of ASTM D4516's relation for sodium chloride (`check-values.md` F3; from memory).
const D4516_SLOPE: f64 = 0.2654;
/// Osmotic pressure per conductivity at 25 C, kPa per uS/cm (`model.md` 1: computed with PHREEQC), sd 12 %.
const RULE_KPA_PER_US_CM: f64 = 0.038;
/// mg/L per uS/cm of sodium chloride near 500 mg/L (`check-values.md` 4.19: PHREEQC).
const NACL_RATIO: f64 = 0.494;

impl Salt {
    /// The salt of a feed.
    ///
    /// With conductivity and dissolved salt and no ion the one salt is sodium chloride with the water's own
    /// ratio. With ions the ratio is the water's own where it is given, and the osmotic pressure goes by
    /// conductivity. Without a water only conductivity is known.
    pub fn of(feed: Option<&Analysis>) -> Self {
        let Some(feed) = feed else {
            return Self::by_conductivity(
                NACL_RATIO,
                None,
                Some(
                    "No analysis of the feed: osmotic pressure is 0.038 kPa per uS/cm (12 %), and concentrations are \
                     shown as sodium chloride."
                        .to_owned(),
                ),
            );
        };
        let stated = feed
            .tds_mg_l
            .zip(feed.conductivity_us_cm)
            .filter(|(tds, us)| *tds > 0.0 && *us > 0.0);
        let ratio = stated.map(|(tds, us)| tds / us);
        if feed.is_one_salt() {
            let feed_us_cm = feed
                .conductivity_us_cm
                .or(feed.tds_mg_l.map(|tds| tds / NACL_RATIO));
            return Self {
                ratio: ratio.unwrap_or(NACL_RATIO),
                osmotic_slope: D4516_SLOPE,
                osmotic_curve: 1.0,
                osmotic_sd: 0.03,
                feed_us_cm,
                assumed: Some("The feed's one salt is taken as sodium chloride.".to_owned()),
            };
        }
        // 0.7 mg/L per uS/cm: natural waters 0.62 to 0.80 with bicarbonate whole (check-values 4.21).
        let ratio_used = ratio.unwrap_or(0.7);
        let feed_us_cm = feed
            .conductivity_us_cm
            .or(feed.tds_mg_l.map(|tds| tds / ratio_used));
        let assumed = ratio
            .is_none()
            .then(|| "The feed's ratio of dissolved salt to conductivity is taken as 0.7.".to_owned());
        Self::by_conductivity(ratio_used, feed_us_cm, assumed)
    }

    fn by_conductivity(ratio: f64, feed_us_cm: Option<f64>, assumed: Option<String>) -> Self {
        Self {
            ratio,
            osmotic_slope: RULE_KPA_PER_US_CM * 1000.0 / (ratio * 298.15),
            osmotic_curve: 0.0,
            osmotic_sd: 0.12,
            feed_us_cm,
            assumed,
        }
    }
}
