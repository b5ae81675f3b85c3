//! Instruments: what is read where something stands.

use unit::Unit;

use crate::chance::Chance;
use crate::plant::Moment;

/// The instruments of one unit: what they do alike in every reading.
#[derive(Clone, Debug)]
pub(crate) struct Instruments {
    gauge_kpa: f64,
    gauges_sd_kpa: f64,
    meter: f64,
    meter_sd: f64,
    thermometer_c: f64,
    thermometer_sd_c: f64,
    bucket_sd: f64,
}

/// What was read, in base units.
#[derive(Clone, Debug)]
pub(crate) struct Measured {
    pub(crate) temperature_c: f64,
    pub(crate) inlet_kpa: f64,
    pub(crate) membrane_kpa: f64,
    pub(crate) concentrate_kpa: f64,
    pub(crate) permeate_l_h: f64,
    pub(crate) concentrate_l_h: f64,
    pub(crate) feed_us_cm: f64,
    pub(crate) permeate_us_cm: f64,
    pub(crate) total_l: f64,
    pub(crate) hours: f64,
    pub(crate) oxidant_mg_l: f64,
    pub(crate) oxidant_out_mg_l: f64,
    pub(crate) hardness_out: Option<f64>,
    pub(crate) stages_kpa: Vec<(String, f64)>,
    pub(crate) elements_us_cm: Vec<(String, f64)>,
    pub(crate) polished_us_cm: Vec<(String, f64)>,
}

impl Instruments {
    pub(crate) fn new(unit: &Unit, chance: &mut Chance) -> Self {
        let known = &unit.instruments;
        Self {
            gauge_kpa: chance.normal(0.5 * known.gauge_error_kpa),
            gauges_sd_kpa: 0.3 * known.gauge_error_kpa,
            meter: chance.factor(0.6 * known.permeate_meter.relative_error),
            meter_sd: 0.5 * known.permeate_meter.relative_error,
            thermometer_c: chance.normal(0.5 * known.thermometer_error_c),
            thermometer_sd_c: 0.6 * known.thermometer_error_c,
            bucket_sd: 0.8 * known.bucket_error,
        }
    }

    pub(crate) fn read(&self, moment: &Moment, total_l: f64, hours: f64, chance: &mut Chance) -> Measured {
        let point = &moment.prediction.point;
        let mut gauge = |kpa: f64| (kpa + self.gauge_kpa + chance.normal(self.gauges_sd_kpa)).max(0.0);
        let inlet_kpa = gauge(moment.inlet_kpa);
        let membrane_kpa = gauge(point.membrane_pressure_kpa);
        let concentrate_kpa = gauge(point.concentrate_pressure_kpa).min(membrane_kpa);
        let stages = moment.prediction.pressure_after_kpa.iter();
        let stages_kpa = stages.map(|(id, kpa)| (id.clone(), gauge(*kpa))).collect();
        let mut meter =
            |us: f64| us * self.meter * chance.factor(self.meter_sd) + chance.normal(0.002 * us + 0.05);
        let feed_us_cm = meter(moment.feed_us_cm);
        let permeate_us_cm = meter(moment.prediction.permeate_conductivity_us_cm).max(0.5);
        let each = |list: &[(String, f64)], meter: &mut dyn FnMut(f64) -> f64| {
            list.iter()
                .map(|(id, us)| (id.clone(), meter(*us).max(0.05)))
                .collect()
        };
        let elements_us_cm = each(&moment.elements_us_cm, &mut meter);
        let polished_us_cm = each(&moment.polished_us_cm, &mut meter);
        let permeate_l_h = point.permeate_flow_l_h * chance.factor(self.bucket_sd);
        let concentrate_l_h = point.concentrate_flow_l_h * chance.factor(self.bucket_sd);
        let temperature_c = moment.temperature_c + self.thermometer_c + chance.normal(self.thermometer_sd_c);
        // A colour kit shows hundredths, and little below them.
        let mut kit = |mg_l: f64| (mg_l * chance.factor(0.08) + chance.normal(0.004)).max(0.0);
        Measured {
            temperature_c,
            inlet_kpa,
            membrane_kpa,
            concentrate_kpa,
            permeate_l_h,
            concentrate_l_h,
            feed_us_cm,
            permeate_us_cm,
            total_l,
            hours,
            oxidant_mg_l: kit(moment.oxidant_mg_l),
            oxidant_out_mg_l: kit(moment.oxidant_out_mg_l),
            hardness_out: moment.hardness_out,
            stages_kpa,
            elements_us_cm,
            polished_us_cm,
        }
    }
}
