//! What is known of units of this kind before anything is read at this one.

/// Means, medians and standard deviations; each is common practice without a source unless it says otherwise.
///
/// A ledger that holds other units on like water can narrow the rates ([`Prior::membrane_rates`],
/// [`Prior::filter_life_years`], [`Prior::hermia`]) by what those did.
#[derive(Clone, Debug, PartialEq)]
pub struct Prior {
    /// ln of a restrictor's flow against its label.
    pub restrictor_sd: f64,
    /// Exponent of a restrictor's law.
    pub exponent_sd: f64,
    /// Temperature coefficient, per degree (`model.md` 2).
    pub temperature_coefficient_sd: f64,
    /// ln of the mass transfer coefficient (`model.md` 2).
    pub film_sd: f64,
    /// ln of a pump's pressure.
    pub pump_sd: f64,
    /// How far ln of a restrictor's flow and of a pump's pressure wander in a year: where the search begins, and most of them.
    pub wander_sd: (f64, f64),
    /// What carbon dioxide adds to the permeate's conductivity, uS/cm: 0 to 3 (`model.md` 1); mean and sd.
    pub carbon_dioxide_us_cm: (f64, f64),
    /// ln A and ln B of a new element against its rating (`model.md` 2).
    pub water_sd: f64,
    /// As above, of salt.
    pub salt_sd: f64,
    /// ln of the channel's drop against the model's.
    pub channel_sd: f64,
    /// Fall of ln A for each unit of ln(days + 1): mean and sd.
    pub compaction: (f64, f64),
    /// Rates in a year of usual use: fall of ln A, rise of ln B; rise of ln drop against the fall of ln A; median and
    /// sd of the logarithm.
    pub membrane_rates: [(f64, f64); 3],
    /// Change of a rate from one knot to the next, relative to it.
    pub bend_sd: f64,
    /// ln of what oxidant does to salt permeability (`model.md` 5), with what is not known of the carbon; and how that differs
    /// between lives of the membranes, since beds and what is left in them differ.
    pub oxidation_sd: (f64, f64),
    /// Share of what was lost that a cleaning brings back; mean and sd.
    pub cleaning: (f64, f64),
    /// What a cleaning does besides, to ln A, ln B and ln drop.
    pub jump_sd: [f64; 3],
    /// Change of ln rate where the feed changes.
    pub feed_change_sd: f64,
    /// ln of a stage's clean drop against its label.
    pub clean_drop_sd: f64,
    /// Years of usual use in which a filter loads to its limit: median.
    pub filter_life_years: f64,
    /// sd of its logarithm.
    pub filter_rate_sd: f64,
    /// How ln rate and ln clean resistance differ between a unit's cartridges.
    pub life_rate_sd: f64,
    /// As above, of the clean resistance.
    pub life_clean_sd: f64,
    /// Chances of Hermia's laws, with their exponents: cake, intermediate, standard, complete blocking.
    pub hermia: [(f64, f64); 4],
    /// Share of the added resistance that a washed pleated cartridge keeps (`model.md` 5).
    pub washed_keeps: (f64, f64),
    /// sd of ln rate of wear over the time to come, against the rate so far: membranes, filters.
    pub drift_sd: (f64, f64),
}

impl Default for Prior {
    fn default() -> Self {
        Self {
            restrictor_sd: 0.10,
            exponent_sd: 0.02,
            temperature_coefficient_sd: 0.003,
            film_sd: 0.25,
            pump_sd: 0.07,
            wander_sd: (0.04, 0.004),
            carbon_dioxide_us_cm: (0.7, 0.8),
            water_sd: 0.10,
            salt_sd: 0.30,
            channel_sd: 0.25,
            compaction: (0.006, 0.005),
            membrane_rates: [(0.06, 0.8), (0.10, 0.8), (0.8, 0.7)],
            bend_sd: 0.2,
            oxidation_sd: (0.75, 0.5),
            cleaning: (0.5, 0.25),
            jump_sd: [0.01, 0.03, 0.02],
            feed_change_sd: 0.4,
            clean_drop_sd: 0.2,
            filter_life_years: 0.6,
            filter_rate_sd: 0.8,
            life_rate_sd: 0.3,
            life_clean_sd: 0.05,
            hermia: [(0.0, 0.25), (1.0, 0.25), (1.5, 0.25), (2.0, 0.25)],
            washed_keeps: (0.2, 0.1),
            drift_sd: (0.25, 0.2),
        }
    }
}
