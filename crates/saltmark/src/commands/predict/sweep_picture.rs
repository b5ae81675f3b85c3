//! A sweep as a picture.

use casefile::ConditionName;
use chart::{Axis, Level, Lines, Options, Region, Scale, Series};
use quantity::{Context, Kind, find_unit};
use unit::Need;

use super::judgement::{EIGHT_IN_TEN, litres, litres_per_day, plain};
use super::request::Request;
use super::sweep::Sweep;
use super::swept::Point;

/// Litres a day against the condition, with the need; the salt where only salt is asked for.
pub(super) fn svg(
    request: &Request,
    sweep: &Sweep,
    points: &[Point],
    met: Option<&[(f64, f64)]>,
    sentence: &str,
) -> String {
    let need = &request.unit.need;
    let salt = need.permeate_l_d.is_none() && need.permeate_tds_max_mg_l.is_some();
    let mut series = Series {
        name: if salt { "salt" } else { "permeate" }.to_owned(),
        ..Series::default()
    };
    for point in points {
        let Ok(expected) = &point.found else {
            series.points.push((point.shown, f64::NAN));
            continue;
        };
        let (value, sd) = if salt {
            (
                expected.prediction.point.permeate_tds_mg_l,
                expected.spread.permeate_salt,
            )
        } else {
            (
                litres_per_day(&expected.prediction),
                expected.spread.permeate_flow,
            )
        };
        let factor = (EIGHT_IN_TEN * sd).exp();
        series.points.push((point.shown, value));
        series.band.push((point.shown, value / factor, value * factor));
    }
    let (level, label) = if salt {
        (
            need.permeate_tds_max_mg_l,
            need.permeate_tds_max_mg_l
                .map(|most| format!("{} mg/L allowed", plain(most))),
        )
    } else {
        (
            need.permeate_l_d,
            need.permeate_l_d
                .map(|asked| format!("{} L a day needed", litres(asked))),
        )
    };
    let limits = level
        .zip(label)
        .map(|(value, label)| Level { value, label })
        .into_iter()
        .collect();
    let words = match need.permeate_tds_max_mg_l.filter(|_| !salt) {
        Some(most) => format!("enough, and within {} mg/L", plain(most)),
        None => "need met".to_owned(),
    };
    let ends = points.first().zip(points.last()).map(|(a, b)| (a.shown, b.shown));
    let regions = met
        .into_iter()
        .flatten()
        .map(|&(from, to)| Region {
            x: (
                ends.and_then(|(low, _)| (from > low).then_some(from)),
                ends.and_then(|(_, high)| (to < high).then_some(to)),
            ),
            y: if salt { (None, level) } else { (level, None) },
            label: words.clone(),
        })
        .collect();
    let lines = Lines {
        title: format!(
            "{}: permeate against {}",
            request.unit.name,
            sweep.field().replace('_', " ")
        ),
        subtitle: sentence.to_owned(),
        x: Axis {
            title: sweep.title().to_owned(),
            unit: sweep.symbol.to_owned(),
            scale: Scale::Linear,
            range: ends,
        },
        y: Axis {
            title: if salt {
                "Salt of the permeate"
            } else {
                "Permeate, if it ran all day"
            }
            .to_owned(),
            unit: if salt { "mg/L" } else { "L a day" }.to_owned(),
            ..Axis::default()
        },
        series: vec![series],
        limits,
        marks: marks(need, sweep, ends),
        regions,
    };
    chart::lines(&lines, &Options::default())
}

/// The coldest and the warmest feed, where they lie in the range.
fn marks(need: &Need, sweep: &Sweep, ends: Option<(f64, f64)>) -> Vec<Level> {
    if sweep.name != ConditionName::Temperature {
        return Vec::new();
    }
    let shown = |celsius: f64| match find_unit(Kind::Temperature, sweep.symbol) {
        Some(unit) => unit.from_base(celsius, &Context::default()).unwrap_or(celsius),
        None => celsius,
    };
    [
        (need.coldest_feed_c, "coldest feed"),
        (need.warmest_feed_c, "warmest feed"),
    ]
    .into_iter()
    .filter_map(|(celsius, label)| {
        let value = shown(celsius?);
        let (low, high) = ends?;
        (low..=high).contains(&value).then(|| Level {
            value,
            label: label.to_owned(),
        })
    })
    .collect()
}
