//! What a prediction means for what is asked of the unit.

use statrs::function::erf::erfc;
use unit::{Need, Prediction};

use super::Expected;
use super::request::Request;
use crate::present::significant;

/// Standard deviations to either side that hold eight of ten (normal distribution).
pub(super) const EIGHT_IN_TEN: f64 = 1.281_551_6;

/// Litres in a day, if the unit ran all day.
pub(super) fn litres_per_day(prediction: &Prediction) -> f64 {
    24.0 * prediction.point.permeate_flow_l_h
}

/// How far the need is met: the lesser of both margins, in parts of what is asked; none where nothing is.
pub(super) fn margin(need: &Need, prediction: &Prediction) -> Option<f64> {
    let flow = need
        .permeate_l_d
        .map(|asked| litres_per_day(prediction) / asked - 1.0);
    let salt = need
        .permeate_tds_max_mg_l
        .map(|most| 1.0 - prediction.point.permeate_tds_mg_l / most);
    match (flow, salt) {
        (Some(flow), Some(salt)) => Some(flow.min(salt)),
        (one, other) => one.or(other),
    }
}

/// What the unit makes and whether that is enough.
pub(super) fn sentence(request: &Request, expected: &Expected) -> String {
    let (unit, conditions) = (&request.unit, &request.conditions);
    let point = &expected.prediction.point;
    let made = litres_per_day(&expected.prediction);
    let mut said = vec![format!(
        "At {} C and {} kPa {} makes {} L/h of permeate with {} mg/L of salt ({} uS/cm): {} L in a day if it ran all day.",
        plain(conditions.temperature_c),
        litres(conditions.inlet_pressure_kpa),
        unit.name,
        significant(point.permeate_flow_l_h, 3),
        salt(point.permeate_tds_mg_l, unit.need.permeate_tds_max_mg_l),
        significant(expected.prediction.permeate_conductivity_us_cm, 2),
        litres(made),
    )];
    said.extend(verdict(&unit.need, point.permeate_tds_mg_l, made));
    let factor = (EIGHT_IN_TEN * expected.spread.permeate_flow).exp();
    if factor > 1.005 {
        let likely = chance(&unit.need, expected).map_or_else(String::new, |chance| {
            format!(", and {} would meet the need", in_ten(chance))
        });
        said.push(format!(
            "Elements differ from their ratings: eight in ten units like this make {} to {} L{likely}.",
            litres(made / factor),
            litres(made * factor),
        ));
    }
    if let Some(ranges) = &expected.ranges {
        let (flow, tds) = (ranges.permeate_flow_l_h, ranges.permeate_tds_mg_l);
        let us_cm = ranges.permeate_conductivity_us_cm;
        said.push(format!(
            "What the feed's salt is made of is not known: over waters from calcium bicarbonate to sodium chloride, eight in ten such units make {} to {} L a day with {} to {} mg/L of salt ({} to {} uS/cm, carbon dioxide included); sulfate waters lie lower.",
            litres(24.0 * flow.low),
            litres(24.0 * flow.high),
            significant(tds.low, 2),
            significant(tds.high, 2),
            significant(us_cm.low, 2),
            significant(us_cm.high, 2),
        ));
    }
    said.push(format!(
        "For each litre made, {} L go to drain.",
        significant(point.concentrate_flow_l_h / point.permeate_flow_l_h, 2)
    ));
    said.join(" ")
}

/// Salt to two digits, or to as many as tell it from what is allowed.
fn salt(tds_mg_l: f64, most: Option<f64>) -> String {
    let apart = |digits: &i32| {
        let shown: Option<f64> = significant(tds_mg_l, *digits).parse().ok();
        most.is_none_or(|most| shown.is_some_and(|shown| (shown <= most) == (tds_mg_l <= most)))
    };
    significant(tds_mg_l, (2..=8).find(apart).unwrap_or(2))
}

fn verdict(need: &Need, tds_mg_l: f64, made_l_d: f64) -> Option<String> {
    let flow = need.permeate_l_d.map(|asked| {
        let rest = made_l_d - asked;
        if rest >= 0.0 {
            (
                true,
                format!(
                    "enough for the {} L a day needed, with {} L to spare",
                    litres(asked),
                    litres(rest)
                ),
            )
        } else {
            (
                false,
                format!(
                    "{} L short of the {} L a day needed",
                    litres(-rest),
                    litres(asked)
                ),
            )
        }
    });
    let salt = need.permeate_tds_max_mg_l.map(|most| {
        let within = tds_mg_l <= most;
        let words = if within { "keeps within" } else { "is over" };
        (
            within,
            format!("its salt {words} the {} mg/L allowed", plain(most)),
        )
    });
    match (flow, salt) {
        (None, None) => None,
        (Some((_, flow)), None) => Some(format!("That is {flow}.")),
        (None, Some((_, salt))) => Some(format!("Of what is needed, {salt}.")),
        (Some((enough, flow)), Some((good, salt))) => {
            let joint = if enough == good { "and" } else { "but" };
            Some(format!("That is {flow}, {joint} {salt}."))
        }
    }
}

/// Chance that a unit of such elements meets the need; flow and salt taken as independent.
fn chance(need: &Need, expected: &Expected) -> Option<f64> {
    let above = |ln_margin: f64, sd: f64| {
        if sd > 0.0 {
            standard_normal(ln_margin / sd)
        } else {
            f64::from(u8::from(ln_margin >= 0.0))
        }
    };
    let point = &expected.prediction.point;
    let flow = need.permeate_l_d.map(|asked| {
        above(
            (litres_per_day(&expected.prediction) / asked).ln(),
            expected.spread.permeate_flow,
        )
    });
    let salt = need.permeate_tds_max_mg_l.map(|most| {
        above(
            (most / point.permeate_tds_mg_l).ln(),
            expected.spread.permeate_salt,
        )
    });
    match (flow, salt) {
        (None, None) => None,
        (flow, salt) => Some(flow.unwrap_or(1.0) * salt.unwrap_or(1.0)),
    }
}

/// The distribution of the normal law.
fn standard_normal(z: f64) -> f64 {
    0.5 * erfc(-z / std::f64::consts::SQRT_2)
}

/// A chance in tenths.
fn in_ten(chance: f64) -> String {
    match (10.0 * chance).round() {
        tenths if tenths < 1.0 => "hardly any".to_owned(),
        tenths if tenths > 9.0 => "nearly all".to_owned(),
        tenths => format!("about {tenths:.0} in ten"),
    }
}

/// A count of litres or kilopascals: whole from ten up, two digits below.
pub(super) fn litres(value: f64) -> String {
    if value.abs() >= 9.95 {
        format!("{value:.0}")
    } else {
        significant(value, 2)
    }
}

/// A number as it was given, without digits that nobody wrote.
pub(super) fn plain(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
