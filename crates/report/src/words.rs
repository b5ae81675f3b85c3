//! Words that the cards' own texts do not have, in each language: headings, phases, works, readings with their units, times.

use service::{Language, Phase, Work};

/// The words of one language.
pub(crate) struct Words {
    /// Tag of the language (RFC 5646).
    pub(crate) tag: &'static str,
    pub(crate) job_card: &'static str,
    pub(crate) customer_card: &'static str,
    pub(crate) cartridges: &'static str,
    pub(crate) site: &'static str,
    pub(crate) date: &'static str,
    pub(crate) before_you_begin: &'static str,
    pub(crate) at_hand: &'static str,
    pub(crate) carry: &'static str,
    pub(crate) step_by_step: &'static str,
    pub(crate) caution: &'static str,
    pub(crate) see: &'static str,
    pub(crate) why: &'static str,
    pub(crate) relieved: &'static str,
    pub(crate) time: &'static str,
    pub(crate) begun: &'static str,
    pub(crate) done: &'static str,
    pub(crate) proof: &'static str,
    pub(crate) reading: &'static str,
    pub(crate) expected: &'static str,
    pub(crate) passes_from: &'static str,
    pub(crate) passes_to: &'static str,
    pub(crate) read: &'static str,
    pub(crate) judged: &'static str,
    pub(crate) unjudged: &'static str,
    pub(crate) remarks: &'static str,
    /// Under the lines to sign on: who did it, when, the customer.
    pub(crate) signatures: [&'static str; 3],
    pub(crate) stop_and_call: &'static str,
    /// Under the lines of a customer's card: whom to call, when it was changed, by whom.
    pub(crate) to_fill_in: [&'static str; 3],
    pub(crate) labels: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) in_since: &'static str,
    pub(crate) due_from: &'static str,
    pub(crate) before_opening: &'static str,
    pub(crate) before_service: &'static str,
    pub(crate) page: &'static str,
    pub(crate) of: &'static str,
    /// What stands at the foot of every card.
    pub(crate) foot: &'static str,
    phases: [&'static str; 7],
    /// Between whole and tenths.
    point: &'static str,
}

const ENGLISH: Words = Words {
    tag: "en",
    job_card: "Job card",
    customer_card: "Card for the customer",
    cartridges: "Changing cartridges",
    site: "Site",
    date: "Date",
    before_you_begin: "Before you begin",
    at_hand: "Have at hand",
    carry: "Carry in",
    step_by_step: "Step by step",
    caution: "Caution",
    see: "See",
    why: "Why",
    relieved: "From here nothing in the unit is under pressure.",
    time: "Time",
    begun: "begun",
    done: "done",
    proof: "Proof",
    reading: "reading",
    expected: "expected",
    passes_from: "passes from",
    passes_to: "to",
    read: "read",
    judged: "What lies within from and to passes, and the readings become the new baseline. Where something does not, look at it before you leave.",
    unjudged: "No values are expected here: they need the water and the conditions of the day.",
    remarks: "Remarks and signatures",
    signatures: ["Done by", "Date", "Customer"],
    stop_and_call: "When to stop and call",
    to_fill_in: ["Call", "Changed on", "By"],
    labels: "labels",
    unit: "Unit",
    in_since: "In since",
    due_from: "Due from",
    before_opening: "Before you open it:",
    before_service: "Before it serves again:",
    page: "page",
    of: "of",
    foot: "No substitute for local plumbing and electrical codes or licensed practice. Where they say otherwise, they hold.",
    phases: [
        "Shut off",
        "Let the pressure out",
        "Open, change, close",
        "Rinse",
        "Flush and put back into service",
        "Prove",
        "Record",
    ],
    point: ".",
};

const GERMAN: Words = Words {
    tag: "de",
    job_card: "Arbeitskarte",
    customer_card: "Karte für die Kundin oder den Kunden",
    cartridges: "Kartuschen wechseln",
    site: "Standort",
    date: "Datum",
    before_you_begin: "Bevor Sie beginnen",
    at_hand: "Bereitlegen",
    carry: "Mitnehmen",
    step_by_step: "Schritt für Schritt",
    caution: "Vorsicht",
    see: "Zu sehen",
    why: "Warum",
    relieved: "Ab hier steht nichts in der Anlage unter Druck.",
    time: "Zeit",
    begun: "Beginn",
    done: "Ende",
    proof: "Nachweis",
    reading: "Ablesung",
    expected: "erwartet",
    passes_from: "besteht von",
    passes_to: "bis",
    read: "abgelesen",
    judged: "Was zwischen von und bis liegt, besteht, und die Ablesungen werden zum neuen Ausgangspunkt. Was nicht besteht, wird angesehen, bevor Sie gehen.",
    unjudged: "Hier sind keine Werte erwartet: Dazu müssten das Wasser und die Bedingungen des Tages bekannt sein.",
    remarks: "Bemerkungen und Unterschriften",
    signatures: ["Ausgeführt von", "Datum", "Kundin oder Kunde"],
    stop_and_call: "Wann aufhören und anrufen",
    to_fill_in: ["Anrufen bei", "Gewechselt am", "Von"],
    labels: "Etiketten",
    unit: "Anlage",
    in_since: "Drin seit",
    due_from: "Fällig ab",
    before_opening: "Vor dem Öffnen:",
    before_service: "Vor der Wiederinbetriebnahme:",
    page: "Seite",
    of: "von",
    foot: "Kein Ersatz für die örtlichen Vorschriften zu Wasser und Strom und für zugelassene Fachleute. Wo diese anderes verlangen, gilt das.",
    phases: [
        "Absperren",
        "Druck ablassen",
        "Öffnen, wechseln, schließen",
        "Ausspülen",
        "Spülen und wieder in Betrieb nehmen",
        "Nachweisen",
        "Aufschreiben",
    ],
    point: ",",
};

impl Words {
    /// The words of this language; English where a language has none yet.
    pub(crate) fn of(language: Language) -> &'static Self {
        match language {
            Language::German => &GERMAN,
            _ => &ENGLISH,
        }
    }

    fn is_german(&self) -> bool {
        self.tag == GERMAN.tag
    }

    /// The heading over the steps of a phase.
    pub(crate) fn phase(&self, phase: Phase) -> &'static str {
        let [shut, relieve, change, rinse, flush, prove, record] = self.phases;
        match phase {
            Phase::Isolate => shut,
            Phase::Relieve => relieve,
            Phase::Open | Phase::Change | Phase::Close => change,
            Phase::Rinse => rinse,
            Phase::Flush => flush,
            Phase::Prove => prove,
            Phase::Record => record,
        }
    }

    /// The works as a person says them.
    pub(crate) fn works(&self, works: &[Work]) -> String {
        let said: Vec<String> = works.iter().map(|work| self.work(work)).collect();
        let said = said.join(", ");
        // In German a part's id may come first, which is written as it is.
        if self.is_german() { said } else { capital(&said) }
    }

    fn work(&self, work: &Work) -> String {
        if self.is_german() {
            return match work {
                Work::Change { part } => format!("{part} wechseln"),
                Work::Wash { part } => format!("{part} waschen"),
                Work::Inspect { part } => format!("{part} ansehen"),
                Work::Sanitise => "Anlage desinfizieren".to_owned(),
                Work::Descale => "Membranen entkalken".to_owned(),
                Work::Clean => "Membranen reinigen".to_owned(),
                Work::Commission => "Anlage in Betrieb nehmen".to_owned(),
                Work::LayUp => "Anlage stilllegen".to_owned(),
            };
        }
        match work {
            Work::Change { part } => format!("change {part}"),
            Work::Wash { part } => format!("wash {part}"),
            Work::Inspect { part } => format!("inspect {part}"),
            Work::Sanitise => "sanitise the unit".to_owned(),
            Work::Descale => "descale the membranes".to_owned(),
            Work::Clean => "clean the membranes".to_owned(),
            Work::Commission => "commission the unit".to_owned(),
            Work::LayUp => "lay the unit up".to_owned(),
        }
    }

    /// "43 steps, 1 h 50 min of it waiting".
    pub(crate) fn counted(&self, steps: usize, waiting: u32) -> String {
        let time = self.duration(waiting);
        match (self.is_german(), waiting) {
            (true, 0) => format!("{steps} Schritte"),
            (true, _) => format!("{steps} Schritte, davon {time} Warten"),
            (false, 0) => format!("{steps} steps"),
            (false, _) => format!("{steps} steps, {time} of it waiting"),
        }
    }

    /// The same for a customer, who is told what the boxes are for.
    pub(crate) fn counted_plainly(&self, steps: usize, waiting: u32) -> String {
        let tick = if self.is_german() {
            "Haken Sie jeden ab."
        } else {
            "Tick each one."
        };
        format!("{}. {tick}", self.counted(steps, waiting))
    }

    /// "1 × carbon cartridge (for carbon)".
    pub(crate) fn carried(&self, count: u32, what: &str, id: &str) -> String {
        let whose = if self.is_german() { "für" } else { "for" };
        format!("{count} × {what} ({whose} {id})")
    }

    /// A reading's field in words, and its base unit.
    pub(crate) fn reading(&self, field: &str) -> (String, &'static str) {
        let (name, part) = field.split_once('.').unwrap_or((field, ""));
        let unit = if name.contains("temperature") {
            "°C"
        } else if name.contains("pressure") {
            "kPa"
        } else if name.contains("flow") {
            "L/h"
        } else if name.contains("conductivity") {
            "µS/cm"
        } else if name.ends_with("_total") {
            "L"
        } else if name.contains("hours") {
            "h"
        } else {
            "mg/L"
        };
        let words = match (self.is_german().then(|| german_field(name)).flatten(), name) {
            (Some(words), _) => words.to_owned(),
            (None, "element_permeate_conductivity") => "permeate conductivity of".to_owned(),
            (None, other) => other.replace('_', " "),
        };
        if part.is_empty() {
            (capital(&words), unit)
        } else {
            (format!("{} {part}", capital(&words)), unit)
        }
    }

    /// A number with this many decimals, and a true minus sign; a dash where there is none.
    pub(crate) fn number(&self, value: Option<f64>, decimals: usize) -> String {
        let Some(value) = value.filter(|value| value.is_finite()) else {
            return "–".to_owned();
        };
        format!("{value:.decimals$}")
            .replace('-', "−")
            .replace('.', self.point)
    }

    /// A time.
    pub(crate) fn duration(&self, minutes: u32) -> String {
        let [one, many] = if self.is_german() {
            ["Minute", "Minuten"]
        } else {
            ["minute", "minutes"]
        };
        match (minutes / 60, minutes % 60) {
            (0, 1) => format!("1 {one}"),
            (0, minutes) => format!("{minutes} {many}"),
            (hours, 0) => format!("{hours} h"),
            (hours, minutes) => format!("{hours} h {minutes} min"),
        }
    }
}

fn german_field(name: &str) -> Option<&'static str> {
    Some(match name {
        "feed_temperature" => "Temperatur des Rohwassers",
        "inlet_pressure" => "Eingangsdruck",
        "membrane_pressure" => "Druck vor den Membranen",
        "concentrate_pressure" => "Konzentratdruck",
        "permeate_pressure" => "Permeatdruck",
        "permeate_flow" => "Permeatstrom",
        "concentrate_flow" => "Konzentratstrom",
        "feed_conductivity" => "Leitfähigkeit des Rohwassers",
        "permeate_conductivity" => "Leitfähigkeit des Permeats",
        "element_permeate_conductivity" => "Leitfähigkeit des Permeats von",
        "feed_tds" => "Salz des Rohwassers",
        "permeate_tds" => "Salz des Permeats",
        "feed_free_chlorine" => "Freies Chlor im Rohwasser",
        "feed_total_chlorine" => "Gesamtchlor im Rohwasser",
        "free_chlorine_out" => "Freies Chlor nach der Kohle",
        "total_chlorine_out" => "Gesamtchlor nach der Kohle",
        "hardness_out" => "Härte nach dem Enthärter",
        "pressure_after" => "Druck nach",
        "conductivity_after" => "Leitfähigkeit nach",
        "chlorine_after" => "Freies Chlor nach",
        _ => return None,
    })
}

/// Decimals for a value and its limits: two digits of the distance between them, so that none says more than is known.
pub(crate) fn decimals(low: Option<f64>, high: Option<f64>) -> usize {
    let width = match (low, high) {
        (Some(low), Some(high)) => (high - low).abs(),
        _ => return 1,
    };
    match width {
        width if width >= 20.0 => 0,
        width if width >= 1.0 => 1,
        width if width >= 0.1 => 2,
        _ => 3,
    }
}

/// The first letter large.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use service::Language;

    use super::{Words, decimals};

    #[test]
    fn numbers_say_no_more_than_is_known() {
        let english = Words::of(Language::English);
        let row = |low: f64, value: f64, high: f64| {
            let decimals = decimals(Some(low), Some(high));
            [low, value, high].map(|value| english.number(Some(value), decimals))
        };
        assert_eq!(row(393.9, 413.7, 433.5), ["394", "414", "434"]);
        assert_eq!(row(34.7, 42.38, 51.77), ["34.7", "42.4", "51.8"]);
        assert_eq!(row(0.0, 0.0, 0.1), ["0.00", "0.00", "0.10"]);
        assert_eq!(english.number(None, 1), "–");
        assert_eq!(Words::of(Language::German).number(Some(-0.25), 2), "−0,25");
    }

    #[test]
    fn times_are_said_as_people_say_them() {
        let english = Words::of(Language::English);
        let said = [0, 1, 45, 60, 110].map(|minutes| english.duration(minutes));
        assert_eq!(said, ["0 minutes", "1 minute", "45 minutes", "1 h", "1 h 50 min"]);
    }

    #[test]
    fn every_reading_of_a_card_has_a_german_name() {
        for field in reading::Field::ALL {
            let (words, _) = Words::of(Language::German).reading(field.name());
            let read_at_a_proof = !["_total", "hours", "running_for"]
                .iter()
                .any(|other| field.name().contains(other));
            assert!(!read_at_a_proof || !words.contains("eed"), "{words}");
        }
    }
}
