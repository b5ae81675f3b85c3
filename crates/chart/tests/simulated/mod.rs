//! Simulated values for pictures: invented, and the same every time.

use chart::{Axis, Due, Fan, History, Level, Lines, Mark, Panel, Point, Region, Scale, Series};
use jiff::{Timestamp, ToSpan};

/// Midnight (UTC) this many days after 2 March 2024.
pub(crate) fn on_day(days: i64) -> Timestamp {
    let start: Timestamp = "2024-03-02T00:00:00Z".parse().unwrap_or_default();
    start.checked_add((24 * days).hours()).unwrap_or(start)
}

/// Noise between -1 and 1 from a number, the same every time.
fn noise(seed: u32) -> f64 {
    let mixed = seed
        .wrapping_mul(2_654_435_761)
        .rotate_left(13)
        .wrapping_mul(40_503);
    f64::from(mixed % 2001) / 1000.0 - 1.0
}

fn readings(days: impl Iterator<Item = u32>, law: impl Fn(f64) -> f64, spread: f64) -> Vec<Point> {
    days.map(|day| Point {
        at: on_day(i64::from(day)),
        value: law(f64::from(day)) + spread * noise(day),
        sd: spread,
        ..Point::default()
    })
    .collect()
}

fn fan(from: u32, to: u32, law: impl Fn(f64) -> f64, grows: f64) -> Fan {
    let points = (from..=to).step_by(14).map(|day| {
        let ahead = f64::from(day - from);
        let (middle, wide) = (law(f64::from(day)), 2.0 + grows * ahead);
        (on_day(i64::from(day)), middle - wide, middle, middle + wide)
    });
    Fan {
        points: points.collect(),
    }
}

/// Two years of a unit with changes, doubts, a forecast and due ranges.
pub(crate) fn two_years() -> History {
    let flow = |day: f64| 101.0 - 0.028 * day;
    let salt = |day: f64| 98.0 + 0.03 * day;
    let mut flows = readings((3..700).step_by(24), flow, 2.2);
    flows.push(Point {
        at: on_day(330),
        value: 9.4,
        sd: 0.3,
        doubtful: true,
        label: None,
    });
    flows.push(Point {
        at: on_day(520),
        value: 97.0,
        sd: 2.0,
        doubtful: true,
        label: Some("bucket or watch?".to_owned()),
    });
    let mark = |day, label: &str| Mark {
        at: on_day(day),
        label: label.to_owned(),
    };
    History {
        title: "North glasshouse".to_owned(),
        subtitle: "It makes 81 % of what it made when new, after allowing for temperature and pressure. \
                   The membranes are due between March and October 2026."
            .to_owned(),
        from: on_day(0),
        to: on_day(1000),
        as_of: on_day(701),
        marks: vec![
            mark(180, "sediment changed"),
            mark(365, "sediment changed"),
            mark(366, "carbon changed"),
            mark(460, "membranes cleaned"),
            mark(552, "sediment changed"),
        ],
        panels: vec![
            Panel {
                title: "Permeate flow".to_owned(),
                unit: "% of when new".to_owned(),
                points: flows,
                baseline: Some((on_day(0), on_day(30), 100.0)),
                limit: Some((80.0, "limit: 80 %".to_owned())),
                fan: Some(fan(701, 1000, flow, 0.03)),
                due: Some(Due {
                    p10: on_day(735),
                    p50: Some(on_day(790)),
                    p90: Some(on_day(950)),
                    label: "membranes due".to_owned(),
                }),
                scale: Scale::Linear,
            },
            Panel {
                title: "Salt passage".to_owned(),
                unit: "% of when new".to_owned(),
                points: readings((3..700).step_by(24), salt, 5.0),
                baseline: Some((on_day(0), on_day(30), 100.0)),
                limit: Some((150.0, "limit: 150 %".to_owned())),
                fan: Some(fan(701, 1000, salt, 0.06)),
                due: Some(Due {
                    p10: on_day(1100),
                    p50: Some(on_day(1900)),
                    p90: None,
                    label: "membranes due".to_owned(),
                }),
                scale: Scale::Linear,
            },
            Panel {
                title: "Pressure drop, sediment".to_owned(),
                unit: "kPa at the reference flow".to_owned(),
                points: readings((3..700).step_by(48), |day| 8.0 + 0.25 * (day % 185.0), 4.0),
                limit: Some((69.0, "limit: 69 kPa".to_owned())),
                due: Some(Due {
                    p10: on_day(690),
                    p50: Some(on_day(745)),
                    p90: Some(on_day(800)),
                    label: "sediment due".to_owned(),
                }),
                ..Panel::default()
            },
        ],
    }
}

/// Ten thousand readings of a logger in one panel.
pub(crate) fn logger() -> History {
    let points = (0..10_000_u32).map(|i| {
        let hours = f64::from(i);
        let season = (hours / 24.0 / 58.0).sin();
        Point {
            at: on_day(0).checked_add(i64::from(i).hours()).unwrap_or_default(),
            value: 30.0 + 6.0 * season + 1.5 * noise(i) + if i % 1777 == 0 { 9.0 } else { 0.0 },
            sd: 0.6,
            doubtful: i % 2500 == 1200,
            label: None,
        }
    });
    History {
        title: "A logger's year".to_owned(),
        from: on_day(0),
        to: on_day(420),
        as_of: on_day(418),
        panels: vec![Panel {
            title: "Permeate flow".to_owned(),
            unit: "L/h".to_owned(),
            points: points.collect(),
            limit: Some((22.0, "need: 22 L/h".to_owned())),
            ..Panel::default()
        }],
        ..History::default()
    }
}

/// A unit on its first day: one reading, an empty panel, everything at once, and hostile words.
pub(crate) fn first_day() -> History {
    History {
        title: "New unit <script>&\"' in the Gewächshaus with a name that goes on for rather longer than a \
                telephone is wide"
            .to_owned(),
        from: on_day(0),
        to: on_day(2),
        as_of: on_day(1),
        marks: (0..14)
            .map(|i| Mark {
                at: on_day(0).checked_add((3 * i).hours()).unwrap_or_default(),
                label: format!("step {i} of commissioning"),
            })
            .collect(),
        panels: vec![
            Panel {
                title: "Permeate flow".to_owned(),
                unit: "L/h".to_owned(),
                points: vec![Point {
                    at: on_day(1),
                    value: 27.5,
                    sd: 0.7,
                    doubtful: false,
                    label: Some("first fill".to_owned()),
                }],
                baseline: Some((on_day(0), on_day(2), 27.5)),
                ..Panel::default()
            },
            Panel {
                title: "Salt passage".to_owned(),
                unit: "% of when new".to_owned(),
                limit: Some((150.0, "limit: 150 %".to_owned())),
                ..Panel::default()
            },
            Panel {
                title: "Free chlorine after the carbon".to_owned(),
                unit: "mg/L, logarithmic".to_owned(),
                points: readings(0..2, |day| 0.004 * 30_f64.powf(day), 0.001),
                limit: Some((0.1, "limit: 0.1 mg/L".to_owned())),
                scale: Scale::Log,
                ..Panel::default()
            },
        ],
        ..History::default()
    }
}

/// A sweep over the temperature with the need.
pub(crate) fn sweep() -> Lines {
    let law = |factor: f64| -> Vec<(f64, f64)> {
        (2..=30)
            .map(|t| (f64::from(t), 1000.0 * factor * 1.03_f64.powi(t - 25)))
            .collect()
    };
    let level = |value, label: &str| Level {
        value,
        label: label.to_owned(),
    };
    Lines {
        title: "North glasshouse: permeate over the feed's temperature".to_owned(),
        subtitle: "In the coldest week it makes 560 L a day now; 700 L are needed.".to_owned(),
        x: Axis {
            title: "Feed temperature".to_owned(),
            unit: "\u{b0}C".to_owned(),
            ..Axis::default()
        },
        y: Axis {
            title: "Permeate".to_owned(),
            unit: "litres a day".to_owned(),
            ..Axis::default()
        },
        series: vec![
            Series {
                name: "when new".to_owned(),
                points: law(1.25),
                band: Vec::new(),
            },
            Series {
                name: "now".to_owned(),
                points: law(1.0),
                band: law(1.0)
                    .into_iter()
                    .map(|(x, y)| (x, 0.92 * y, 1.08 * y))
                    .collect(),
            },
        ],
        limits: vec![level(550.0, "drawn: 550 L a day")],
        marks: vec![level(6.0, "coldest feed"), level(17.0, "warmest feed")],
        regions: vec![Region {
            x: (None, None),
            y: (Some(700.0), None),
            label: "enough for the need".to_owned(),
        }],
    }
}

/// Saturation of seven minerals against recovery.
pub(crate) fn saturation() -> Lines {
    let minerals = [
        ("calcite", 0.2, 2.1),
        ("aragonite", 0.05, 2.1),
        ("gypsum", -1.6, 1.4),
        ("barite", 0.3, 1.3),
        ("celestite", -1.9, 1.4),
        ("fluorite", -1.2, 2.6),
        ("amorphous silica", -0.9, 1.0),
    ];
    let series = minerals.into_iter().map(|(name, start, slope)| Series {
        name: name.to_owned(),
        points: (0..=30)
            .map(|i| {
                let recovery = f64::from(i) * 0.03;
                (100.0 * recovery, start - slope * (1.0 - recovery).log10())
            })
            .collect(),
        band: Vec::new(),
    });
    Lines {
        title: "Saturation of the concentrate".to_owned(),
        subtitle: "Calcite is over what it may be from a recovery of 30 % up.".to_owned(),
        x: Axis {
            title: "Recovery".to_owned(),
            unit: "%".to_owned(),
            ..Axis::default()
        },
        y: Axis {
            title: "Saturation index".to_owned(),
            unit: "log10 of IAP/K".to_owned(),
            ..Axis::default()
        },
        series: series.collect(),
        limits: vec![Level {
            value: 0.5,
            label: "calcite: keep below 0.5".to_owned(),
        }],
        marks: vec![Level {
            value: 24.0,
            label: "today".to_owned(),
        }],
        regions: Vec::new(),
    }
}

/// All histories with their names.
pub(crate) fn histories() -> Vec<(&'static str, History)> {
    vec![
        ("two-years", two_years()),
        ("logger", logger()),
        ("first-day", first_day()),
        ("empty", History::default()),
    ]
}

/// All line charts with their names.
pub(crate) fn line_charts() -> Vec<(&'static str, Lines)> {
    vec![
        ("sweep", sweep()),
        ("saturation", saturation()),
        ("no-lines", Lines::default()),
    ]
}
