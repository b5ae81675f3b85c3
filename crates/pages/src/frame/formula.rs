//! A formula set as mathematics: `MathML` Core, which browsers set and screen readers speak.

use account::{Expression, Formula, Operator};
use maud::{Markup, html};

/// How closely an operator binds: what binds less closely than what it stands in needs brackets.
fn binding(operator: Operator) -> u8 {
    match operator {
        Operator::Plus | Operator::Minus => 1,
        Operator::Times => 2,
        // A fraction's bar and a raised exponent hold what stands there together.
        Operator::Over | Operator::Power => 3,
    }
}

/// The formula as a block; as it is written where it can't be read (a test finds that).
pub(crate) fn show(text: &str) -> Markup {
    match Formula::parse(text) {
        Ok(formula) => html! {
            math display="block" { mrow { (side(&formula.left, 0)) mo { "=" } (side(&formula.right, 0)) } }
        },
        Err(_) => html! { p { code { (text) } } },
    }
}

/// A symbol's sign by itself.
pub(crate) fn sign(sign: &str) -> Markup {
    html! { math { (symbol(sign)) } }
}

fn symbol(sign: &str) -> Markup {
    match sign.split_once('_') {
        Some((letter, below)) => html! { msub { (letters(letter)) mtext { (below.replace('_', " ")) } } },
        None => letters(sign),
    }
}

fn letters(letters: &str) -> Markup {
    // A change is written with the letter for one.
    let shown = match letters.strip_prefix('d') {
        Some(rest) if rest.starts_with(char::is_uppercase) => format!("\u{394}{rest}"),
        _ => letters.to_owned(),
    };
    html! { mi { (shown) } }
}

fn bracketed(inner: &Markup, needed: bool) -> Markup {
    html! { @if needed { mrow { mo { "(" } (inner) mo { ")" } } } @else { (inner) } }
}

fn side(expression: &Expression<'_>, within: u8) -> Markup {
    match expression {
        Expression::Number(number) => html! { mn { (number) } },
        Expression::Sign(sign) => symbol(sign),
        Expression::Negative(one) => {
            let inner = html! { mrow { mo { "\u{2212}" } (side(one, 2)) } };
            bracketed(&inner, within > 0)
        }
        Expression::Two(Operator::Over, a, b) => {
            let inner = html! { mfrac { mrow { (side(a, 0)) } mrow { (side(b, 0)) } } };
            bracketed(&inner, within > binding(Operator::Over))
        }
        Expression::Two(Operator::Power, a, b) => {
            let inner = html! { msup { mrow { (side(a, 4)) } mrow { (side(b, 0)) } } };
            bracketed(&inner, within > binding(Operator::Power))
        }
        Expression::Two(operator, a, b) => {
            let own = binding(*operator);
            let between = match operator {
                Operator::Plus => "+",
                Operator::Minus => "\u{2212}",
                _ => "\u{b7}",
            };
            // What is taken away is taken away whole.
            let right = if *operator == Operator::Minus {
                own + 1
            } else {
                own
            };
            let inner = html! { mrow { (side(a, own)) mo { (between) } (side(b, right)) } };
            bracketed(&inner, own < within)
        }
        Expression::Function(name, arguments) => {
            let inner = html! {
                @for (at, argument) in arguments.iter().enumerate() { @if at > 0 { mo { "," } } (side(argument, 0)) }
            };
            match (*name, arguments.as_slice()) {
                ("sqrt", [_]) => html! { msqrt { (inner) } },
                ("exp", [_]) => html! { msup { mi { "e" } mrow { (inner) } } },
                // What is summed is read as one term; a sum within it needs brackets.
                ("sum", [one]) => html! { mrow { mo { "\u{2211}" } (side(one, 2)) } },
                ("log10", [_]) => {
                    html! { mrow { msub { mi { "log" } mn { "10" } } mo { "(" } (inner) mo { ")" } } }
                }
                _ => html! { mrow { mi { (name) } mo { "(" } (inner) mo { ")" } } },
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::show;

    /// The letters and signs of a formula in the order in which they are set.
    fn read(text: &str) -> String {
        let html = show(text).into_string();
        let mut inside = false;
        let kept = html.chars().filter(|c| match c {
            '<' => {
                inside = true;
                false
            }
            '>' => {
                inside = false;
                false
            }
            _ => !inside,
        });
        kept.collect()
    }

    #[test]
    fn regress_brackets_stand_where_they_are_needed() {
        assert_eq!(read("a = (b + c) * d"), "a=(b+c)\u{b7}d");
        assert_eq!(read("a = b + c * d"), "a=b+c\u{b7}d");
        assert_eq!(read("a = b - (c - d)"), "a=b\u{2212}(c\u{2212}d)");
        assert_eq!(read("a = (b + c) ^ 2"), "a=(b+c)2");
        assert_eq!(read("a = (b / c) ^ n"), "a=(bc)n");
        assert_eq!(read("a = sum(b * c)"), "a=\u{2211}b\u{b7}c");
        assert_eq!(read("a = sum(b - c)"), "a=\u{2211}(b\u{2212}c)");
        assert_eq!(read("a = dP_std / dP"), "a=\u{394}Pstd\u{394}P");
    }
}
