//! How a figure was computed: the equation, what went in, where it comes from, how sure it is.
//!
//! A figure's address is `/units/UNIT/how/NAME` or `/units/UNIT/how/NAME/OF`; [`Named`] lists the names. The equations
//! stand beside the functions of the domain crates that compute with them; what they mean is told under their names in
//! the message files (`how-NAME`, `how-NAME-words`, `symbol-NAME`).

mod find;

use account::{Account, Input, Measure, Origin};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use maud::{Markup, html};
use quantity::{Kind, round_significant};
use wear::forecast::HORIZON_D;

use super::{found, words};
use crate::Response;
use crate::frame::ask::Ask;
use crate::frame::formula;
use crate::frame::layout::{self, Page};
pub(crate) use find::Named;

/// The page.
pub(crate) fn show(ask: &Ask<'_>, held: &[String]) -> Response {
    let (known, unit) = match found::unit(ask, held) {
        Ok(found) => found,
        Err(nothing) => return nothing,
    };
    let (Some(name), of) = (held.get(1), held.get(2).map_or("", String::as_str)) else {
        return layout::not_found(ask);
    };
    let Some(found) = find::accounts(ask, known, unit, name, of) else {
        return layout::not_found(ask);
    };
    let say = ask.say;
    let zone = casefile::time_zone(unit);
    let figures = Figures {
        ask,
        accounts: &found.accounts,
        as_of: found.as_of,
        zone: &zone,
    };
    let title = found.accounts.first().map_or_else(String::new, |first| {
        say.say(&format!("how-{}", first.equation.name))
    });
    let of_what = found.of_what;
    let body = html! {
        h1 { (title) }
        @if !of_what.is_empty() { p.faint { (of_what) } }
        p { (say.say("how-about")) }
        @for (at, account) in found.accounts.iter().enumerate() { (figures.one(at, account)) }
    };
    Page {
        above: found::above(ask, unit),
        ..Page::new(&title, "", body)
    }
    .answer(ask)
}

struct Figures<'a> {
    ask: &'a Ask<'a>,
    accounts: &'a [Account],
    as_of: Timestamp,
    zone: &'a TimeZone,
}

impl Figures<'_> {
    fn one(&self, at: usize, account: &Account) -> Markup {
        let say = self.ask.say;
        let equation = account.equation;
        let name = equation.name;
        let heading = say.say(&format!("how-{name}"));
        let measure = equation.result().map_or(Measure::Number, |symbol| symbol.measure);
        html! {
            section.account id=[self.first_of(at, name).then_some(name)] {
                @if at > 0 { h2 { (heading) } }
                p.answer { (self.value(measure, account.value)) (self.give(measure, account)) }
                p { (say.say(&format!("how-{name}-words"))) }
                (formula::show(equation.formula))
                div.wide tabindex="0" role="region" aria-label=(say.with("how-inputs", &[("figure", heading.as_str().into())])) {
                    table.inputs {
                        caption { (say.say("how-caption")) }
                        thead { tr {
                            th scope="col" { (say.say("how-symbol")) } th scope="col" { (say.say("how-meaning")) }
                            th.number scope="col" { (say.say("how-value")) } th scope="col" { (say.say("how-from")) }
                        } }
                        tbody { @for inputs in rows(&account.inputs) { (self.input(account, &inputs)) } }
                    }
                }
                p.small { (say.say("how-source")) " " span lang=[(say.tag() != "en").then_some("en")] { (equation.source) } }
            }
        }
    }

    /// Whether no account before this one has the name, which then is its place on the page.
    fn first_of(&self, at: usize, name: &str) -> bool {
        self.accounts.iter().position(|one| one.equation.name == name) == Some(at)
    }

    /// A row: what went in by one sign, as one number or as a list.
    fn input(&self, account: &Account, inputs: &[&Input]) -> Markup {
        let say = self.ask.say;
        let Some(input) = inputs.first() else {
            return html! {};
        };
        let Some(symbol) = account.equation.symbol(input.sign) else {
            return html! {};
        };
        let values: Vec<String> = inputs
            .iter()
            .map(|input| self.value(symbol.measure, input.value))
            .collect();
        html! {
            tr {
                th scope="row" { (formula::sign(symbol.sign)) }
                td { (say.say(&format!("symbol-{}", symbol.name))) }
                td.number {
                    (values.join("; "))
                    @if let Some(sd) = input.sd { br; span.faint { (self.sd(symbol.measure, sd)) } }
                }
                td {
                    @match input.origin {
                        Origin::Computed(equation) => {
                            @let words = say.say(&format!("how-{}", equation.name));
                            @if self.accounts.iter().any(|one| one.equation == equation) { a href={ "#" (equation.name) } { (words) } }
                            @else { (words) }
                        }
                        Origin::Read => { (say.say("origin-read")) }
                        Origin::Estimated => { (say.say("origin-estimated")) }
                        Origin::Described => { (say.say("origin-described")) }
                        Origin::Analysed => { (say.say("origin-analysed")) }
                        Origin::Baseline => { (say.say("origin-baseline")) }
                        Origin::Learned => { (say.say("origin-learned")) }
                        Origin::Constant => { (say.say("origin-constant")) }
                        Origin::Solved => { (say.say("origin-solved")) }
                    }
                }
            }
        }
    }

    /// What is not known of a figure.
    fn give(&self, measure: Measure, account: &Account) -> Markup {
        let say = self.ask.say;
        html! {
            @if let Some(sd) = account.sd { " " span.faint { (self.sd(measure, sd)) } }
            @if let Some((low, high)) = account.range {
                br; span.faint { (say.with("how-range", &[("low", self.value(measure, low).into()), ("high", self.value(measure, high).into())])) }
            }
            @if account.sd.is_none() && account.range.is_none() { br; span.faint { (say.say("how-no-sd")) } }
        }
    }

    fn sd(&self, measure: Measure, sd: f64) -> String {
        let measures = &self.ask.measures;
        let text = match measure {
            Measure::Temperature => {
                // A difference has no zero of its own.
                let (factor, sign) = match measures.sign(Kind::Temperature) {
                    "\u{b0}F" => (1.8, "\u{b0}F"),
                    sign => (1.0, sign),
                };
                let number = self.ask.say.number(&digits(sd * factor, 2));
                format!("{number}\u{a0}{sign}")
            }
            _ => self.value(measure, sd),
        };
        format!("\u{b1}\u{a0}{text}")
    }

    fn value(&self, measure: Measure, value: f64) -> String {
        let say = self.ask.say;
        let kind = match measure {
            Measure::Flow => Kind::Flow,
            Measure::Volume => Kind::Volume,
            Measure::Pressure => Kind::Pressure,
            Measure::Temperature => Kind::Temperature,
            Measure::Concentration => Kind::Concentration,
            Measure::Conductivity => Kind::Conductivity,
            Measure::Area => Kind::Area,
            Measure::Flux => {
                return format!("{}\u{a0}L/(m\u{b2}\u{a0}h)", say.number(&digits(value, 3)));
            }
            Measure::Share => {
                let percent = say.number(&digits(100.0 * value, 3));
                return say.with("percent", &[("n", percent.into())]);
            }
            Measure::Number => return say.number(&digits(value, 4)),
            Measure::Days if value >= HORIZON_D => return say.say("beyond-ten-years"),
            Measure::Days => {
                let days = say.with("how-days", &[("n", format!("{value:.0}").into())]);
                let day = words::day_after(self.ask, self.as_of, value, self.zone);
                return if value > 0.0 && self.is_due(value) {
                    format!("{days} ({day})")
                } else {
                    days
                };
            }
        };
        let shown = self.ask.measures.show(kind, value);
        // The equation takes base units; a reader's own stand beside them.
        if self.ask.measures.unit(kind).is_some() {
            let base = quantity::format_rounded(kind, value, None, 4);
            let base = say.number(&base.replace(" C", " \u{b0}C"));
            format!("{shown} ({})", base.replacen(' ', "\u{a0}", 1))
        } else {
            shown
        }
    }

    /// Whether these are days until something is due, which is a date too.
    fn is_due(&self, value: f64) -> bool {
        self.accounts.iter().any(|one| {
            let due = one
                .equation
                .result()
                .is_some_and(|symbol| symbol.name == "due-in");
            let (low, high) = one.range.unwrap_or((one.value, one.value));
            due && [low, one.value, high].iter().any(|d| (d - value).abs() < 1e-12)
        })
    }
}

/// From so many numbers of one kind on they are listed in one row.
const LISTED: usize = 3;

/// What went in, by rows: each by itself, but a long list of one sign together, in the order in which its numbers belong to
/// those of other lists.
fn rows(inputs: &[Input]) -> Vec<Vec<&Input>> {
    let of_one_sign = |one: &Input| -> Vec<&Input> {
        let alike =
            |other: &&Input| other.sign == one.sign && other.origin == one.origin && other.sd.is_none();
        inputs.iter().filter(alike).collect()
    };
    let mut rows: Vec<Vec<&Input>> = Vec::new();
    for input in inputs {
        let together = of_one_sign(input);
        if input.sd.is_some() || together.len() < LISTED {
            rows.push(vec![input]);
        } else if together.first().is_some_and(|first| std::ptr::eq(*first, input)) {
            rows.push(together);
        }
    }
    rows
}

/// A number with so many digits that count.
fn digits(value: f64, count: usize) -> String {
    if value != 0.0 && !(1e-4..1e7).contains(&value.abs()) {
        let text = format!("{value:.2e}");
        let (number, power) = text.split_once('e').unwrap_or((&text, "0"));
        return format!("{number}\u{a0}\u{b7}\u{a0}10{}", raised(power));
    }
    format!("{}", round_significant(value, count))
}

/// A power as it is written above the line.
fn raised(power: &str) -> String {
    let above = |c: char| match c {
        '-' => '\u{207b}',
        '1' => '\u{b9}',
        '2' => '\u{b2}',
        '3' => '\u{b3}',
        // The others stand in order from U+2070.
        other => other
            .to_digit(10)
            .and_then(|digit| char::from_u32(0x2070 + digit))
            .unwrap_or(other),
    };
    power.chars().map(above).collect()
}

#[cfg(test)]
mod tests {
    use account::{Account, Equation, Measure, Origin, symbol};

    use super::{digits, rows};

    const SUM: Equation = Equation {
        name: "sum",
        formula: "S = k * sum(p * x)",
        symbols: &[
            symbol("S", "sum", Measure::Number),
            symbol("k", "factor", Measure::Number),
            symbol("p", "share", Measure::Share),
            symbol("x", "value", Measure::Number),
        ],
        source: "a test",
    };

    #[test]
    fn regress_long_lists_stand_in_one_row_and_short_ones_in_rows_of_their_own() {
        let mut account = Account::of(&SUM, 1.0).with("k", 1.0, Origin::Constant);
        for i in 0..4_u8 {
            account = account
                .with("p", 0.25, Origin::Solved)
                .with("x", f64::from(i), Origin::Solved);
        }
        let of = |account: &Account| -> Vec<(&str, usize)> {
            let rows = rows(&account.inputs);
            rows.iter().map(|row| (row[0].sign, row.len())).collect()
        };
        assert_eq!(of(&account), [("k", 1), ("p", 4), ("x", 4)]);
        let two = Account::of(&SUM, 1.0)
            .with("x", 1.0, Origin::Read)
            .with("x", 2.0, Origin::Read);
        assert_eq!(of(&two), [("x", 1), ("x", 1)]);
        let known = two
            .with_sd("x", 3.0, 0.1, Origin::Read)
            .with("x", 4.0, Origin::Described);
        assert_eq!(of(&known).len(), 4);
    }

    #[test]
    fn regress_very_small_numbers_are_written_with_a_power_of_ten() {
        assert_eq!(digits(0.000_017_5, 4), "1.75\u{a0}\u{b7}\u{a0}10\u{207b}\u{2075}");
        assert_eq!(digits(1.2e-13, 4), "1.20\u{a0}\u{b7}\u{a0}10\u{207b}\u{b9}\u{b3}");
        assert_eq!(digits(0.25, 4), "0.25");
        assert_eq!(digits(0.0, 4), "0");
    }
}
