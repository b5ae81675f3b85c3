//! The unit as built, in flow order, with pressure, flow and salt at each place, in plain text.
//!
//! Feed and concentrate run down on the left; the permeate leaves each element to the right and runs down its own line to
//! the tank. `[ ]` is a housing, `( )` a pump, `> <` something narrow.

use unit::{Arrangement, ElementPoint, PolishKind, Prediction, StageKind, TankKind};

use super::request::Request;
use crate::present::significant;

/// Column of the feed's line, and that of the frames.
const LINE: usize = 5;
const FRAME: usize = 3;
/// Letters of an id that are shown.
const NAME: usize = 20;

/// What is drawn, line by line.
struct Sheet {
    lines: Vec<Line>,
    /// Column of the permeate's line once it has begun.
    permeate: usize,
    begun: bool,
}

struct Line {
    sketch: String,
    place: Option<Place>,
    note: String,
}

/// What a gauge, a bucket and a meter would show at one place.
#[derive(Clone, Copy)]
struct Place {
    kpa: f64,
    l_h: f64,
    mg_l: f64,
}

impl Sheet {
    /// A line whose permeate side goes on straight down.
    fn put(&mut self, sketch: &str, place: Option<Place>, note: &str) {
        let mut sketch = sketch.to_owned();
        if self.begun {
            sketch = set(&sketch, self.permeate, '│');
        }
        self.lines.push(Line {
            sketch,
            place,
            note: note.to_owned(),
        });
    }

    /// A line from the end of an element to the permeate's.
    fn join(&mut self, sketch: &str, place: Place, note: &str) {
        let mut sketch = sketch.to_owned();
        let from = sketch.chars().count();
        for column in from..self.permeate {
            sketch = set(&sketch, column, '─');
        }
        sketch = set(&sketch, self.permeate, if self.begun { '┤' } else { '┐' });
        self.begun = true;
        self.lines.push(Line {
            sketch,
            place: Some(place),
            note: note.to_owned(),
        });
    }

    fn tube(&mut self, place: Option<Place>, note: &str) {
        self.put(&at(LINE, "│"), place, note);
    }

    fn text(&self) -> String {
        let width = |line: &Line| line.sketch.chars().count();
        let widest = self.lines.iter().map(width).max().unwrap_or(0).max(24) + 2;
        let bold = anstyle::Style::new().bold();
        let mut text = format!(
            "{bold}{}{:>8}{:>9}{:>9}{bold:#}\n",
            " ".repeat(widest),
            "kPa",
            "L/h",
            "mg/L"
        );
        for line in &self.lines {
            let mut row = line.sketch.clone();
            row.push_str(&" ".repeat(widest.saturating_sub(width(line))));
            match &line.place {
                Some(place) => row.push_str(&format!(
                    "{:>8}{:>9}{:>9}",
                    format!("{:.0}", place.kpa),
                    number(place.l_h),
                    number(place.mg_l)
                )),
                None => row.push_str(&" ".repeat(26)),
            }
            if !line.note.is_empty() {
                row.push_str("  ");
                row.push_str(&line.note);
            }
            text.push_str(row.trim_end());
            text.push('\n');
        }
        text
    }
}

/// Text at a column.
fn at(column: usize, text: &str) -> String {
    format!("{}{text}", " ".repeat(column))
}

/// A sign at a column of a line.
fn set(line: &str, column: usize, sign: char) -> String {
    let mut signs: Vec<char> = line.chars().collect();
    if signs.len() <= column {
        signs.resize(column + 1, ' ');
    }
    if let Some(place) = signs.get_mut(column) {
        *place = sign;
    }
    signs.into_iter().collect()
}

fn number(value: f64) -> String {
    if value >= 999.5 {
        format!("{value:.0}")
    } else {
        significant(value, 3)
    }
}

fn name(id: &str) -> String {
    let clean = id.chars().map(|c| if c.is_control() { ' ' } else { c });
    if id.chars().count() > NAME {
        clean.take(NAME - 3).chain("...".chars()).collect()
    } else {
        clean.collect()
    }
}

fn housing(id: &str) -> String {
    format!("[ {} ]", name(id))
}

/// The whole drawing.
pub(super) fn unit(request: &Request, prediction: &Prediction) -> String {
    let parallel =
        request.unit.membranes.arrangement == Arrangement::Parallel && prediction.elements.len() > 1;
    let widest = prediction
        .elements
        .iter()
        .map(|(id, _)| housing(id).chars().count())
        .max()
        .unwrap_or(0);
    // Side by side, the concentrates need a line of their own between the elements and the permeate.
    let permeate = if parallel {
        LINE + 3 + widest + 8
    } else {
        FRAME + widest + 4
    };
    let mut sheet = Sheet {
        lines: Vec::new(),
        permeate,
        begun: false,
    };
    feed_side(request, prediction, &mut sheet);
    if parallel {
        side_by_side(prediction, widest, &mut sheet);
    } else {
        in_series(prediction, &mut sheet);
    }
    drain(prediction, &mut sheet);
    permeate_side(request, prediction, &mut sheet);
    sheet.text()
}

fn feed_side(request: &Request, prediction: &Prediction, sheet: &mut Sheet) {
    let flow = prediction.point.feed_flow_l_h;
    let raw = request.water.tds_mg_l();
    let treated = prediction.point.permeate_tds_mg_l / prediction.point.salt_passage;
    let stages = &request.unit.stages;
    let softener = stages
        .iter()
        .rposition(|stage| matches!(stage.kind, StageKind::Softener { .. }));
    let inlet = request.conditions.inlet_pressure_kpa;
    let mut before = inlet;
    let mut salt = if softener.is_some() { raw } else { treated };
    sheet.put(
        "   inlet",
        Some(Place {
            kpa: inlet,
            l_h: flow,
            mg_l: salt,
        }),
        "",
    );
    sheet.tube(None, "");
    for (i, (stage, (_, after))) in stages.iter().zip(&prediction.pressure_after_kpa).enumerate() {
        let change = after - before;
        let note = if change.abs() < 0.05 {
            String::new()
        } else if change > 0.0 {
            format!("adds {} kPa", number(change))
        } else {
            format!("takes {} kPa", number(-change))
        };
        let frame = match stage.kind {
            StageKind::Pump { .. } => format!("( {} )", name(&stage.id)),
            StageKind::Regulator { .. } => format!("> {} <", name(&stage.id)),
            _ => housing(&stage.id),
        };
        sheet.put(&at(FRAME, &frame), None, &note);
        if softener == Some(i) {
            salt = treated;
        }
        sheet.tube(
            Some(Place {
                kpa: *after,
                l_h: flow,
                mg_l: salt,
            }),
            "",
        );
        before = *after;
    }
}

/// What leaves an element towards the drain.
fn concentrate(element: &ElementPoint) -> Place {
    let flow = element.feed_flow_l_h - element.permeate_flow_l_h;
    let salt =
        element.feed_flow_l_h * element.feed_tds_mg_l - element.permeate_flow_l_h * element.permeate_tds_mg_l;
    Place {
        kpa: element.concentrate_pressure_kpa,
        l_h: flow,
        mg_l: salt / flow,
    }
}

fn permeate(prediction: &Prediction, element: &ElementPoint) -> Place {
    Place {
        kpa: prediction.point.permeate_pressure_kpa,
        l_h: element.permeate_flow_l_h,
        mg_l: element.permeate_tds_mg_l,
    }
}

fn in_series(prediction: &Prediction, sheet: &mut Sheet) {
    let last = prediction.elements.len().saturating_sub(1);
    for (i, (id, element)) in prediction.elements.iter().enumerate() {
        let frame = at(FRAME, &housing(id));
        sheet.join(&frame, permeate(prediction, element), "permeate");
        let mut leaves = concentrate(element);
        if i == last {
            // Its salt as the chemistry has it at rest, which is what goes to drain.
            leaves.mg_l = prediction.point.concentrate_tds_mg_l;
        }
        sheet.tube(Some(leaves), "concentrate");
    }
}

/// Feed on the left, each element across, the concentrates collected on a line of their own.
fn side_by_side(prediction: &Prediction, widest: usize, sheet: &mut Sheet) {
    let frame = LINE + 3;
    let collected = frame + widest + 4;
    let count = prediction.elements.len();
    for (i, (id, element)) in prediction.elements.iter().enumerate() {
        let last = i + 1 == count;
        let branch = if last { "└──" } else { "├──" };
        let mut across = at(LINE, &format!("{branch}{}", housing(id)));
        for column in across.chars().count()..sheet.permeate {
            across = set(&across, column, '─');
        }
        if i > 0 {
            // The permeate passes in front of the concentrates' line.
            across = set(&across, collected, '│');
        }
        sheet.join(&across, permeate(prediction, element), "permeate");
        let mut down = if last { String::new() } else { at(LINE, "│") };
        down = set(&down, frame + 2, '└');
        for column in frame + 3..collected {
            down = set(&down, column, '─');
        }
        down = set(&down, collected, if i == 0 { '┐' } else { '┤' });
        sheet.put(&down, Some(concentrate(element)), "concentrate");
    }
    let mut back = at(LINE, "┌");
    for column in LINE + 1..collected {
        back = set(&back, column, '─');
    }
    back = set(&back, collected, '┘');
    sheet.put(&back, None, "");
    let point = &prediction.point;
    let joined = Place {
        kpa: point.concentrate_pressure_kpa,
        l_h: point.concentrate_flow_l_h,
        mg_l: point.concentrate_tds_mg_l,
    };
    sheet.tube(Some(joined), "concentrates together");
}

fn drain(prediction: &Prediction, sheet: &mut Sheet) {
    let point = &prediction.point;
    sheet.put(
        &at(FRAME, "> restrictor <"),
        None,
        &format!("takes {} kPa", number(point.concentrate_pressure_kpa)),
    );
    sheet.tube(None, "");
    let out = Place {
        kpa: 0.0,
        l_h: point.concentrate_flow_l_h,
        mg_l: point.concentrate_tds_mg_l,
    };
    sheet.put("   drain", Some(out), "");
}

fn permeate_side(request: &Request, prediction: &Prediction, sheet: &mut Sheet) {
    let point = &prediction.point;
    let column = sheet.permeate;
    let all = |kpa: f64| Place {
        kpa,
        l_h: point.permeate_flow_l_h,
        mg_l: point.permeate_tds_mg_l,
    };
    sheet.put("", Some(all(point.permeate_pressure_kpa)), "permeate together");
    sheet.begun = false;
    let permeate = &request.unit.permeate;
    for polish in &permeate.polish {
        let does = match polish.kind {
            PolishKind::MixedBed => "takes the salt out",
            PolishKind::Carbon => "takes out what tastes",
            PolishKind::Remineraliser => "gives minerals back",
            PolishKind::Uv => "kills germs",
        };
        sheet.put(&at(column.saturating_sub(2), &housing(&polish.id)), None, does);
        sheet.put(&at(column, "│"), None, "");
    }
    let kind = match permeate.tank.map(|tank| tank.kind) {
        Some(TankKind::Open) => "open tank",
        Some(TankKind::Pressurised { .. }) => "pressurised tank",
        None => "point of use",
    };
    let note = if permeate.lift_m > 0.0 {
        format!(
            "{} m above the membranes",
            super::judgement::plain(permeate.lift_m)
        )
    } else {
        String::new()
    };
    let sketch = at(column.saturating_sub(2), kind);
    if permeate
        .polish
        .iter()
        .any(|polish| polish.kind == PolishKind::MixedBed)
    {
        // What a resin lets through is not computed here.
        sheet.put(&sketch, None, &note);
    } else {
        sheet.put(
            &sketch,
            Some(all(request.conditions.permeate_pressure_kpa)),
            &note,
        );
    }
}
