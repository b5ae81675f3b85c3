//! The fields of a unit as built, in the order in which one looks at it.

use maud::{Markup, html};
use quantity::Kind;

use super::parts::{
    ARRANGEMENT, CHECK_VALVE, Choice, DRAIN, FLUSH_VALVE, INLET_VALVE, LABEL, MOST_ELEMENTS, MOST_STAGES,
    NEED, OF_EVERY_LABEL, PUMP, RESTRICTOR, SHUTOFF, SIZE, STAGES, Spot, TANK, TANK_KIND, TANK_VALVE, slot,
};
use super::typical::Assumed;
use crate::frame::ask::Ask;
use crate::frame::fields::Fields;
use crate::frame::form::{self, Entry, Faults, Field};

/// Stages that are in sight at first.
const STAGES_IN_SIGHT: usize = 4;

/// The label of a field.
pub(super) fn label(ask: &Ask<'_>, name: &str) -> String {
    let spots = [LABEL, PUMP, DRAIN, TANK, NEED];
    if let Some((_, _, key)) = spots.into_iter().flatten().find(|(path, ..)| *path == name) {
        return ask.say.say(key);
    }
    let choices = [&SIZE, &ARRANGEMENT, &RESTRICTOR, &TANK_KIND, &SHUTOFF];
    if let Some(choice) = choices.into_iter().find(|choice| choice.path == name) {
        return ask.say.say(choice.key);
    }
    if let Some(place) = name
        .strip_prefix("stages.")
        .and_then(|place| place.parse::<usize>().ok())
    {
        return ask.say.with("plan-stage", &[("n", (place + 1).into())]);
    }
    if let Some(name) = name.strip_prefix("water.") {
        return crate::show::water_form::label(ask, name);
    }
    ask.say.say(match name {
        "count" => "plan-count",
        "commissioned" => "plan-since",
        "time_zone" => "plan-zone",
        "site" => "plan-site",
        "site_name" => "plan-site-name",
        "site_place" => "site-place",
        "customer" => "site-customer",
        "customer_name" => "plan-customer-name",
        "at" => "when",
        "how" => "plan-how",
        "reason" => "reason",
        _ => "name",
    })
}

/// Shows the fields of one form.
pub(super) struct Form<'a, 'b> {
    pub(super) ask: &'a Ask<'b>,
    pub(super) typed: &'a Fields,
    pub(super) faults: &'a Faults,
}

impl Form<'_, '_> {
    pub(super) fn line(&self, name: &str, entry: Entry, hint: String, required: bool) -> Markup {
        let field = Field {
            name,
            label: label(self.ask, name),
            hint,
            unit: "",
            entry,
            required,
        };
        field.show(self.ask, self.typed, self.faults)
    }

    fn value(&self, (path, kind, key): &Spot, required: bool) -> Markup {
        let field = Field {
            name: path,
            label: self.ask.say.say(key),
            hint: self.hint(path),
            unit: if *kind == Kind::Fraction {
                ""
            } else {
                self.ask.measures.sign(*kind)
            },
            entry: Entry::Value,
            required,
        };
        field.show(self.ask, self.typed, self.faults)
    }

    /// What helps to find a value on a label.
    fn hint(&self, path: &str) -> String {
        let key = match path {
            "membranes.elements.rated.flow" => "plan-rated-flow-hint",
            "membranes.elements.rated.rejection" => "plan-rated-rejection-hint",
            "membranes.elements.rated.tds" => "plan-rated-tds-hint",
            "membranes.elements.rated.recovery" => "plan-rated-recovery-hint",
            "concentrate.restrictor.flow" => "plan-restrictor-hint",
            "stages.open_flow" => "plan-pump-hint",
            _ => return String::new(),
        };
        self.ask.say.say(key)
    }

    pub(super) fn choice(&self, choice: &Choice) -> Markup {
        let words: Vec<(String, String)> = choice
            .words
            .iter()
            .map(|(word, key)| ((*word).to_owned(), self.ask.say.say(key)))
            .collect();
        let label = self.ask.say.say(choice.key);
        form::select(self.ask, choice.path, &label, &words, self.typed, self.faults)
    }

    fn flag(&self, (path, key): (&str, &str)) -> Markup {
        form::checkbox(path, &self.ask.say.say(key), "yes", self.typed)
    }

    fn is_used(&self, names: &[&str]) -> bool {
        names
            .iter()
            .any(|name| !self.typed.get(name).is_empty() || self.faults.of(name).is_some())
    }

    /// What an element's label says, and how many there are.
    pub(super) fn label(&self) -> Markup {
        let ask = self.ask;
        let counts: Vec<(String, String)> = (1..=MOST_ELEMENTS)
            .map(|count| (count.to_string(), count.to_string()))
            .collect();
        let count = form::select(
            ask,
            "count",
            &label(ask, "count"),
            &counts,
            self.typed,
            self.faults,
        );
        let (always, more) = LABEL.split_at(OF_EVERY_LABEL);
        let names: Vec<&str> = more.iter().map(|(path, ..)| *path).collect();
        html! {
            fieldset {
                legend { (ask.say.say("plan-label-title")) }
                p { (ask.say.say("plan-label-about")) }
                (self.choice(&SIZE))
                div.desk-two { @for spot in always { (self.value(spot, true)) } }
                details open[self.is_used(&names)] {
                    summary { (ask.say.say("plan-label-more")) }
                    div.desk-two { @for spot in more { (self.value(spot, false)) } }
                }
                (count)
                (self.choice(&ARRANGEMENT))
            }
        }
    }

    /// What stands before the membranes, in flow order.
    pub(super) fn stages(&self) -> Markup {
        let ask = self.ask;
        let words: Vec<(String, String)> = STAGES
            .iter()
            .map(|stage| (stage.word.to_owned(), ask.say.say(stage.key)))
            .collect();
        let one = |place: usize| {
            let name = slot(place);
            form::select(ask, &name, &label(ask, &name), &words, self.typed, self.faults)
        };
        let later: Vec<String> = (STAGES_IN_SIGHT..MOST_STAGES).map(slot).collect();
        let later: Vec<&str> = later.iter().map(String::as_str).collect();
        let numbers: Vec<&str> = PUMP.iter().map(|(path, ..)| *path).collect();
        html! {
            fieldset {
                legend { (ask.say.say("plan-stages-title")) }
                p { (ask.say.say("plan-stages-about")) }
                (self.flag(INLET_VALVE))
                div.desk-two { @for place in 0..STAGES_IN_SIGHT { (one(place)) } }
                details open[self.is_used(&later)] {
                    summary { (ask.say.say("plan-stages-more")) }
                    div.desk-two { @for place in STAGES_IN_SIGHT..MOST_STAGES { (one(place)) } }
                }
                details open[self.is_used(&numbers)] {
                    summary { (ask.say.say("plan-pump-title")) }
                    div.desk-two { @for spot in PUMP { (self.value(spot, false)) } }
                }
            }
        }
    }

    /// The ways to drain and to the tank.
    pub(super) fn ways(&self) -> Markup {
        let ask = self.ask;
        html! {
            fieldset {
                legend { (ask.say.say("plan-drain-title")) }
                div.desk-two { @for spot in DRAIN { (self.value(spot, false)) } }
                (self.choice(&RESTRICTOR))
                (self.flag(FLUSH_VALVE))
            }
            fieldset {
                legend { (ask.say.say("plan-tank-title")) }
                (self.choice(&TANK_KIND))
                div.desk-two { @for spot in TANK { (self.value(spot, false)) } }
                (self.choice(&SHUTOFF))
                (self.flag(TANK_VALVE))
                (self.flag(CHECK_VALVE))
            }
        }
    }

    /// What is asked of the unit.
    pub(super) fn need(&self) -> Markup {
        html! {
            fieldset {
                legend { (self.ask.say.say("plan-need-title")) }
                div.desk-two { @for spot in NEED { (self.value(spot, false)) } }
            }
        }
    }
}

/// What was filled in, as a table, each with where it comes from.
pub(super) fn assumed(ask: &Ask<'_>, assumed: &[Assumed]) -> Markup {
    let say = ask.say;
    html! {
        @if !assumed.is_empty() {
            p { (say.say("plan-assumed-about")) }
            div.wide tabindex="0" role="region" aria-label=(say.say("plan-assumed-title")) { table {
                caption { (say.say("plan-assumed-title")) }
                thead { tr {
                    th scope="col" { (say.say("plan-assumed-what")) }
                    th scope="col" { (say.say("plan-assumed-value")) }
                } }
                tbody {
                    @for one in assumed {
                        tr { th scope="row" { (one.what) } td { (one.value) p.small { (say.say(one.source.key())) } } }
                    }
                }
            } }
        }
    }
}
