//! What is filled in where a label or a look does not tell, each with where it comes from.

use quantity::Kind;
use serde_json::{Map, Value, json};

use super::document::{get, set};
use crate::frame::ask::Ask;

/// Where a value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Source {
    /// Common practice, no source.
    Practice,
    /// Typical, from memory.
    Memory,
    /// ASTM D4516.
    D4516,
    /// The other units of this ledger.
    Ledger,
}

impl Source {
    pub(super) fn key(self) -> &'static str {
        match self {
            Self::Practice => "source-practice",
            Self::Memory => "source-memory",
            Self::D4516 => "source-d4516",
            Self::Ledger => "source-ledger",
        }
    }
}

/// Something that was filled in.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Assumed {
    /// What.
    pub(super) what: String,
    /// The value, in words.
    pub(super) value: String,
    pub(super) source: Source,
}

/// Fills a document in, and keeps account of it.
pub(super) struct Typical<'a, 'b> {
    pub(super) ask: &'a Ask<'b>,
    pub(super) assumed: Vec<Assumed>,
}

/// Pressure drop of a clean sediment and carbon cartridge of ten inches, kPa at 227 L/h: 1.0 and 1.2 psi at 1 US gallon a
/// minute (common practice, no source).
const CLEAN: [(&str, &str, f64); 2] = [("sediment", "1.0 psi", 6.9), ("carbon", "1.2 psi", 8.3)];
/// A cartridge is worn at 10 psi, kPa (common practice, no source).
const WORN_KPA: f64 = 69.0;
/// Litres to drain before carbon may feed membranes (common practice, no source).
const RINSE_L: f64 = 40.0;
/// Share of the feed that a small unit makes into permeate at its label's conditions: the restrictor is chosen for about one
/// part in four (common practice, no source).
const RECOVERY: f64 = 0.25;
/// What a small booster adds at no flow, kPa: 60 psi (common practice, no source).
const BOOST_KPA: f64 = 414.0;
/// How much more a booster passes at no added pressure than the unit takes (common practice, no source).
const BOOST_FLOW: f64 = 1.6;
/// Temperature of a label that gives none, C (common practice, no source).
const LABEL_C: f64 = 25.0;
/// Recovery of a label that gives none (`model.md` 2: common practice, no source).
const LABEL_RECOVERY: f64 = 0.15;

impl Typical<'_, '_> {
    /// Notes what is taken for granted.
    pub(super) fn note(&mut self, key: &str, value: String, source: Source) {
        self.noted(self.ask.say.say(key), value, source);
    }

    fn noted(&mut self, what: String, value: String, source: Source) {
        let one = Assumed { what, value, source };
        if !self.assumed.contains(&one) {
            self.assumed.push(one);
        }
    }

    fn quantity(&mut self, document: &mut Map<String, Value>, path: &str, kind: Kind, base: f64, key: &str) {
        set(
            document,
            path,
            Some(quantity::format_rounded(kind, base, None, 4).into()),
        );
        let value = self.ask.measures.show(kind, base);
        self.note(key, value, Source::Practice);
    }

    /// A stage that is new in the document; `called` is what it is called.
    pub(super) fn stage(&mut self, table: &mut Map<String, Value>, kind: &str, called: &str) {
        let ask = self.ask;
        let with = |key: &str| ask.say.with(key, &[("part", called.into())]);
        let (clean, worn, year, chlorine, rinse) = (
            with("typical-clean-drop"),
            with("typical-worn"),
            with("typical-age"),
            with("typical-chlorine"),
            with("typical-rinse"),
        );
        let show = |kind, base| ask.measures.show(kind, base);
        let at = |kpa| {
            let values = [
                ("drop", show(Kind::Pressure, kpa).into()),
                ("flow", show(Kind::Flow, 227.1).into()),
            ];
            ask.say.with("typical-at", &values)
        };
        let mut said: Vec<(String, String)> = Vec::new();
        if let Some((_, drop, kpa)) = CLEAN.iter().find(|(of, ..)| *of == kind) {
            set(
                table,
                "clean_drop",
                Some(json!({"pressure": drop, "flow": "1 gpm"})),
            );
            said.push((clean, at(*kpa)));
            set(table, "limit.age", Some("365 d".into()));
            said.push((year, self.ask.say.say("typical-year")));
        }
        match kind {
            "sediment" => {
                set(table, "limit.pressure_drop", Some("10 psi".into()));
                said.push((worn, show(Kind::Pressure, WORN_KPA)));
            }
            "carbon" => {
                set(table, "limit.free_chlorine_out", Some(json!(0.1)));
                said.push((chlorine, show(Kind::Concentration, 0.1)));
                set(table, "rinse", Some(format!("{RINSE_L} L").into()));
                said.push((rinse, show(Kind::Volume, RINSE_L)));
            }
            _ => {}
        }
        for (what, value) in said {
            self.noted(what, value, Source::Practice);
        }
    }

    /// What of pump, label, restrictor and tank was left empty. `rated_l_h` is the flow of one label.
    pub(super) fn rest(&mut self, document: &mut Map<String, Value>, rated_l_h: Option<f64>) {
        let is_missing = |document: &Map<String, Value>, path: &str| get(document, path).is_none();
        let elements = super::document::tables(document, "membranes.elements").len();
        let ask = self.ask;
        let show = |kind, base| ask.measures.show(kind, base);
        if is_missing(document, "membranes.elements.rated.temperature") {
            let value = show(Kind::Temperature, LABEL_C);
            self.note("plan-rated-temperature", value, Source::Practice);
        }
        if is_missing(document, "membranes.elements.rated.recovery") {
            let value = self.ask.say.percent(LABEL_RECOVERY);
            self.note("plan-rated-recovery", value, Source::Practice);
        }
        let size = get(document, "membranes.elements.size").and_then(Value::as_str);
        let size = size.and_then(unit::ElementSize::from_code);
        if let Some(size) = size.filter(|_| is_missing(document, "membranes.elements.area")) {
            let value = self.ask.measures.show(Kind::Area, size.typical_area_m2());
            self.note("plan-area", value, Source::Memory);
        }
        if elements > 1 && is_missing(document, "membranes.arrangement") {
            let value = self.ask.say.say("drawing-series");
            self.note("plan-arrangement", value, Source::Practice);
        }
        if is_missing(document, "membranes.temperature_coefficient") {
            let value = self.ask.say.number("1.03");
            self.note("typical-coefficient", value, Source::D4516);
        }
        #[expect(clippy::cast_precision_loss, reason = "there are at most eight")]
        let made_l_h = rated_l_h.map(|rated| rated * elements as f64);
        // Without a flow on the label there is a fault there, and whatever stands here is never kept.
        let made_l_h = made_l_h.unwrap_or(1.0);
        if is_missing(document, "concentrate.restrictor.flow") {
            let flow = made_l_h * (1.0 - RECOVERY) / RECOVERY;
            let path = "concentrate.restrictor.flow";
            self.quantity(document, path, Kind::Flow, flow, "plan-restrictor-flow");
        }
        if is_missing(document, "concentrate.restrictor.at") {
            let rated = get(document, "membranes.elements.rated.pressure").cloned();
            let rated = rated.unwrap_or_else(|| json!(400));
            let value = super::document::shown(self.ask, Kind::Pressure, &rated);
            self.note("plan-restrictor-at", value, Source::Practice);
            set(document, "concentrate.restrictor.at", Some(rated));
        }
        if is_missing(document, "concentrate.restrictor.kind") {
            let value = self.ask.say.say("restrictor-capillary");
            self.note("plan-restrictor-kind", value, Source::Practice);
        }
        self.pumps(document, made_l_h / RECOVERY);
        let tank = get(document, "permeate.tank.kind").and_then(Value::as_str);
        if is_missing(document, "permeate.shutoff") {
            let (word, key) = match tank {
                Some("open") => ("float", "drawing-shutoff-float"),
                Some("pressurised") => ("pressure", "drawing-shutoff-pressure"),
                _ => ("none", "drawing-shutoff-none"),
            };
            let value = self.ask.say.say(key);
            set(document, "permeate.shutoff", Some(word.into()));
            self.note("plan-shutoff", value, Source::Practice);
        }
        let tank = get(document, "permeate.tank.kind").and_then(Value::as_str);
        if tank == Some("pressurised") && is_missing(document, "permeate.tank.precharge") {
            // 7 psi: common practice, no source (the reader's own).
            let value = self.ask.measures.show(Kind::Pressure, 48.3);
            self.note("plan-tank-precharge", value, Source::Practice);
        }
    }

    fn pumps(&mut self, document: &mut Map<String, Value>, feed_l_h: f64) {
        let is_pump = |table: &Map<String, Value>| table.get("kind") == Some(&json!("pump"));
        let Some(Value::Array(stages)) = document.get_mut("stages") else {
            return;
        };
        for pump in stages.iter_mut().filter_map(Value::as_object_mut) {
            if is_pump(pump) && get(pump, "open_flow").is_none() {
                let flow = BOOST_FLOW * feed_l_h;
                self.quantity(pump, "open_flow", Kind::Flow, flow, "plan-pump-open-flow");
            }
            if is_pump(pump) && get(pump, "shutoff_pressure").is_none() {
                self.quantity(
                    pump,
                    "shutoff_pressure",
                    Kind::Pressure,
                    BOOST_KPA,
                    "plan-pump-shutoff",
                );
            }
        }
    }
}
