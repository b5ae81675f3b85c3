//! What must hold of every picture: well-formed XML, numbers that are numbers, words inside the frame and
//! never one over another, nothing fetched and nothing run. The XML is read by a parser that is not ours.

use jiff::Timestamp;
use proptest::prelude::*;

use crate::canvas::{HEADING, LABEL, SMALL, TITLE};
use crate::geometry::Rect;
use crate::place::{Anchor, Spot};
use crate::{
    Axis, Due, Fan, History, Level, Lines, Mark, Options, Panel, Point, Region, Scale, Series, Theme,
    history, lines, text,
};

#[path = "../tests/simulated/mod.rs"]
mod simulated;

/// Size and weight by the class of a text.
fn type_of(class: &str) -> (f64, bool) {
    let has = |name: &str| class.split(' ').any(|c| c == name);
    if has("smc-title") {
        (TITLE, true)
    } else if has("smc-heading") || has("smc-strong") {
        (HEADING, true)
    } else if has("smc-label") {
        (LABEL, false)
    } else {
        assert!(has("smc-small"), "a text without a size: {class}");
        (SMALL, false)
    }
}

/// What a `text` element takes up, by the upper estimate of widths.
fn bounds(node: &roxmltree::Node<'_, '_>) -> (Rect, String) {
    let number = |name: &str| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let words: String = node
        .descendants()
        .filter(roxmltree::Node::is_text)
        .filter_map(|n| n.text())
        .collect();
    let anchor = match node.attribute("text-anchor") {
        Some("middle") => Anchor::Middle,
        Some("end") => Anchor::End,
        _ => Anchor::Start,
    };
    let spot = Spot::new(number("x"), number("y"), anchor);
    let spans: Vec<_> = node.children().filter(roxmltree::Node::is_element).collect();
    if spans.is_empty() {
        let (size, bold) = type_of(node.attribute("class").unwrap());
        return (spot.bounds(&words, size, bold), words);
    }
    let mut right = spot.x;
    for span in spans {
        let (size, bold) = type_of(span.attribute("class").unwrap());
        let gap = span.attribute("dx").map_or(0.0, |dx| dx.parse::<f64>().unwrap());
        right += gap + text::width(span.text().unwrap_or_default(), size, bold);
    }
    let high = spot.bounds("", HEADING, true);
    (Rect { right, ..high }, words)
}

/// Fails unless everything holds that must.
fn check(svg: &str) {
    let document = roxmltree::Document::parse(svg).unwrap_or_else(|e| panic!("{e}: {svg}"));
    let root = document.root_element();
    assert_eq!(root.tag_name().name(), "svg");
    assert_eq!(root.attribute("role"), Some("img"));
    let frame: Vec<f64> = root
        .attribute("viewBox")
        .unwrap()
        .split(' ')
        .map(|n| n.parse().unwrap())
        .collect();
    let page = Rect {
        left: 0.0,
        top: 0.0,
        right: frame[2],
        bottom: frame[3],
    };
    let ids: Vec<_> = root.descendants().filter_map(|n| n.attribute("id")).collect();
    for label in root.attribute("aria-labelledby").unwrap().split(' ') {
        assert!(ids.contains(&label), "{label} names nothing");
    }
    let mut words: Vec<(Rect, String)> = Vec::new();
    for node in root.descendants().filter(roxmltree::Node::is_element) {
        let name = node.tag_name().name();
        assert!(
            [
                "svg", "title", "desc", "style", "rect", "path", "circle", "text", "tspan"
            ]
            .contains(&name),
            "{name}"
        );
        for attribute in node.attributes() {
            let value = attribute.value();
            match attribute.name() {
                "x" | "y" | "cx" | "cy" | "r" | "dx" | "width" | "height" => {
                    assert!(value.parse::<f64>().is_ok_and(f64::is_finite), "{name} {value}");
                }
                "d" => {
                    let mut numbers = value.split(['M', 'L', 'Z', ' ']).filter(|n| !n.is_empty());
                    assert!(
                        numbers.all(|n| n.parse::<f64>().is_ok_and(f64::is_finite)),
                        "{value}"
                    );
                }
                other => assert!(
                    [
                        "class",
                        "viewBox",
                        "style",
                        "role",
                        "lang",
                        "aria-labelledby",
                        "id",
                        "text-anchor"
                    ]
                    .contains(&other),
                    "{other}"
                ),
            }
        }
        if name == "text" {
            words.push(bounds(&node));
        }
    }
    // Coordinates are rounded to 0.05 at most; two of them meet.
    let slack = 0.11;
    for (i, (a, said)) in words.iter().enumerate() {
        let smaller = Rect {
            left: a.left + slack,
            right: a.right - slack,
            top: a.top + slack,
            bottom: a.bottom - slack,
        };
        assert!(
            page.holds(&smaller),
            "{said:?} leaves the picture: {a:?} in {page:?}"
        );
        for (b, other) in words.iter().skip(i + 1) {
            assert!(!smaller.overlaps(b), "{said:?} over {other:?}: {a:?} {b:?}");
        }
    }
}

fn sizes() -> Vec<Options> {
    let themes = [Theme::Auto, Theme::Light, Theme::Dark];
    let widths = [320.0, crate::PHONE_PX, crate::DESK_PX, 2000.0];
    let options = themes.into_iter().flat_map(|theme| {
        widths.map(|width_px| Options {
            theme,
            ..Options::wide(width_px)
        })
    });
    options.collect()
}

#[test]
fn regress_the_gallery_is_sound_at_every_size() {
    for options in sizes() {
        for (_, picture) in simulated::histories() {
            check(&history(&picture, &options));
        }
        for (_, picture) in simulated::line_charts() {
            check(&lines(&picture, &options));
        }
    }
}

#[test]
fn regress_the_same_values_give_the_same_bytes() {
    let options = Options::default();
    assert_eq!(
        history(&simulated::two_years(), &options),
        history(&simulated::two_years(), &options)
    );
}

#[test]
fn regress_text_stays_text_and_is_described() {
    let svg = history(&simulated::two_years(), &Options::default());
    let document = roxmltree::Document::parse(&svg).unwrap();
    let said = |name: &str| {
        let node = document
            .descendants()
            .find(|n| n.tag_name().name() == name)
            .unwrap();
        node.text().unwrap().to_owned()
    };
    assert_eq!(said("title"), "North glasshouse");
    let description = said("desc").replace('\u{a0}', " ");
    for part in [
        "Permeate flow, % of when new: 30 readings",
        "2 doubts",
        "Limit 80: limit: 80 %.",
        "membranes due: eight in ten between 7 Mar 2026 and 8 Oct 2026, most likely 1 May 2026.",
        "5 Jun 2025 membranes cleaned",
    ] {
        assert!(description.contains(part), "{part} in {description}");
    }
    let texts: Vec<String> = document
        .descendants()
        .filter(|n| n.tag_name().name() == "text")
        .filter_map(|n| n.text().map(str::to_owned))
        .collect();
    for word in [
        "baseline",
        "forecast",
        "doubt 9.4",
        "limit: 80 %",
        "carbon changed",
    ] {
        assert!(texts.iter().any(|text| text == word), "{word} in {texts:?}");
    }
}

#[test]
fn regress_thinning_keeps_every_extreme() {
    // Of 10 000 simulated readings 6 stand out by 9 L/h; the picture must show the highest of all.
    let picture = simulated::logger();
    let sound = picture.panels[0]
        .points
        .iter()
        .filter(|p| !p.doubtful)
        .map(|p| p.value);
    let (low, high) = sound.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
        (a.min(v), b.max(v))
    });
    let svg = history(&picture, &Options::default());
    let document = roxmltree::Document::parse(&svg).unwrap();
    let ys: Vec<f64> = document
        .descendants()
        .filter(|n| n.tag_name().name() == "circle" && n.attribute("class") == Some("smc-fm"))
        // The key's own dot is larger.
        .filter(|n| n.attribute("r") == Some("1.6"))
        .map(|n| n.attribute("cy").unwrap().parse().unwrap())
        .collect();
    assert!(ys.len() < 2 * 920, "{}", ys.len());
    // The ticks 20 and 40 calibrate the axis independently of our scale.
    let tick = |label: &str| {
        let node = document
            .descendants()
            .find(|n| n.tag_name().name() == "text" && n.text() == Some(label));
        node.unwrap().attribute("y").unwrap().parse::<f64>().unwrap() - 0.35 * SMALL
    };
    let (at_20, at_40) = (tick("20"), tick("40"));
    let value = |y: f64| 20.0 + 20.0 * (y - at_20) / (at_40 - at_20);
    let top = ys.iter().copied().fold(f64::INFINITY, f64::min);
    let bottom = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    // Three coordinates rounded to 0.05 px each, at 8 px per L/h: 0.02 L/h; doubled.
    assert!((value(top) - high).abs() < 0.04, "{} {high}", value(top));
    assert!((value(bottom) - low).abs() < 0.04, "{} {low}", value(bottom));
}

#[test]
fn regress_what_random_values_once_broke() {
    let options = Options::wide(320.0);
    // A line without a name still has a word beside it, and values at the ends of what a number can be.
    for (a, b) in [
        (1.0, 2.0),
        (1e-250, 1e250),
        (5e-324, 5e-324),
        (-f64::MAX, f64::MAX),
    ] {
        for scale in [Scale::Linear, Scale::Log] {
            let axis = Axis {
                scale,
                ..Axis::default()
            };
            let nameless = Series {
                points: vec![(a, a), (b, b)],
                ..Series::default()
            };
            check(&lines(
                &Lines {
                    x: axis.clone(),
                    y: axis,
                    series: vec![nameless],
                    ..Lines::default()
                },
                &options,
            ));
        }
    }
    // The topmost number of the axis and a change's word that reaches left of the drawing.
    let start = Timestamp::UNIX_EPOCH;
    let picture = History {
        from: start,
        to: Timestamp::from_second(8_640_000).unwrap(),
        as_of: start,
        marks: vec![Mark {
            at: Timestamp::from_second(8_000_000).unwrap(),
            label: "a change whose words are far too long for a telephone".to_owned(),
        }],
        panels: vec![Panel {
            points: [1.0, 1e14]
                .map(|value| Point {
                    value,
                    ..Point::default()
                })
                .into(),
            scale: Scale::Log,
            ..Panel::default()
        }],
        ..History::default()
    };
    check(&history(&picture, &options));
}

/// Any number, among them those that are none; half of them of the size of real readings.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        proptest::num::f64::ANY,
        -10.0..200.0_f64,
        Just(f64::NAN),
        Just(f64::MAX),
        Just(0.0)
    ]
}

fn time() -> impl Strategy<Value = Timestamp> {
    let (first, last) = (Timestamp::MIN.as_second(), Timestamp::MAX.as_second());
    prop_oneof![
        first..=last,
        1_600_000_000..1_800_000_000_i64,
        Just(1_700_000_000)
    ]
    .prop_map(|s| Timestamp::from_second(s).unwrap())
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof!["[a-z ]{0,12}", "(?s).{0,60}", "[a-zA-Z<&\"' ]{0,200}"]
}

fn few<T: std::fmt::Debug>(of: impl Strategy<Value = T>, most: usize) -> impl Strategy<Value = Vec<T>> {
    proptest::collection::vec(of, 0..=most)
}

fn scale() -> impl Strategy<Value = Scale> {
    prop_oneof![Just(Scale::Linear), Just(Scale::Log)]
}

fn panel() -> impl Strategy<Value = Panel> {
    let point = (
        time(),
        number(),
        number(),
        any::<bool>(),
        proptest::option::of(words()),
    );
    let point = point.prop_map(|(at, value, sd, doubtful, label)| Point {
        at,
        value,
        sd,
        doubtful,
        label,
    });
    let due = (
        time(),
        proptest::option::of(time()),
        proptest::option::of(time()),
        words(),
    );
    let due = due.prop_map(|(p10, p50, p90, label)| Due { p10, p50, p90, label });
    let fan = few((time(), number(), number(), number()), 6).prop_map(|points| Fan { points });
    (
        (words(), words(), scale()),
        few(point, 12),
        proptest::option::of((time(), time(), number())),
        proptest::option::of((number(), words())),
        proptest::option::of(fan),
        proptest::option::of(due),
    )
        .prop_map(
            |((title, unit, scale), points, baseline, limit, fan, due)| Panel {
                title,
                unit,
                points,
                baseline,
                limit,
                fan,
                due,
                scale,
            },
        )
}

fn options() -> impl Strategy<Value = Options> {
    let theme = prop_oneof![Just(Theme::Auto), Just(Theme::Light), Just(Theme::Dark)];
    (prop_oneof![number(), 300.0..1200.0_f64], theme, words()).prop_map(|(width_px, theme, id)| Options {
        width_px,
        theme,
        id,
        ..Options::default()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn prop_any_history_is_a_sound_picture(
        (title, subtitle) in (words(), words()),
        panels in few(panel(), 3),
        (from, to, as_of) in (time(), time(), time()),
        marks in few((time(), words()), 12),
        options in options(),
    ) {
        let marks = marks.into_iter().map(|(at, label)| Mark { at, label }).collect();
        let picture = History { title, subtitle, panels, from, to, as_of, marks };
        check(&history(&picture, &options));
    }

    #[test]
    fn prop_any_lines_are_a_sound_picture(
        (title, subtitle) in (words(), words()),
        axes in proptest::array::uniform2((words(), words(), scale(), proptest::option::of((number(), number())))),
        series in few((words(), few((number(), number()), 30), few((number(), number(), number()), 5)), 9),
        limits in few((number(), words()), 3),
        marks in few((number(), words()), 3),
        regions in few((proptest::array::uniform4(proptest::option::of(number())), words()), 2),
        options in options(),
    ) {
        let [x, y] = axes.map(|(title, unit, scale, range)| Axis { title, unit, scale, range });
        let level = |(value, label)| Level { value, label };
        let picture = Lines {
            title,
            subtitle,
            x,
            y,
            series: series.into_iter().map(|(name, points, band)| Series { name, points, band }).collect(),
            limits: limits.into_iter().map(level).collect(),
            marks: marks.into_iter().map(level).collect(),
            regions: regions
                .into_iter()
                .map(|([a, b, c, d], label)| Region { x: (a, b), y: (c, d), label })
                .collect(),
        };
        check(&lines(&picture, &options));
    }
}
