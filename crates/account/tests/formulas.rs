//! Formulas are read as mathematics is, and an account that does not fit its equation is found.

use account::{Account, Equation, Formula, FormulaError, Measure, Origin, symbol};

const HOUSE: Equation = Equation {
    name: "test",
    formula: "r = a",
    symbols: &[
        symbol("r", "result", Measure::Number),
        symbol("a", "one", Measure::Number),
    ],
    source: "this test",
};

fn value(text: &str) -> f64 {
    let formula = Formula::parse(text).unwrap();
    let numbers = |sign: &str| match sign {
        "a" => vec![2.0],
        "b_1" => vec![5.0],
        "list" => vec![1.0, 2.0, 4.0],
        _ => Vec::new(),
    };
    formula.right.value(&numbers).unwrap()
}

#[test]
fn val_operators_bind_as_in_mathematics() {
    // ISO 80000-2: powers before products before sums, from the left; a power of a power from the right.
    for (text, wanted) in [
        ("x = 1 + a * b_1", 11.0),
        ("x = (1 + a) * b_1", 15.0),
        ("x = b_1 - a - 1", 2.0),
        ("x = 8 / a / a", 2.0),
        ("x = a ^ 3 ^ 2", 512.0),
        ("x = -a ^ 2", -4.0),
        ("x = exp(ln(b_1)) + sqrt(4) + log10(100)", 9.0),
        ("x = sum(list) + max(a, b_1) - min(a, b_1)", 10.0),
        ("x = 0.5 * a", 1.0),
        ("x = median(list) * median(a)", 4.0),
    ] {
        assert!((value(text) - wanted).abs() < 1e-12, "{text}: {}", value(text));
    }
}

#[test]
fn regress_what_is_no_formula_is_refused_with_its_place() {
    for text in [
        "",
        "x",
        "x =",
        "x = (a",
        "x = a b",
        "x = a +",
        "x = a = b",
        "x = 1 $ 2",
        "= a",
    ] {
        assert!(
            matches!(Formula::parse(text), Err(FormulaError::Unreadable(_))),
            "{text}"
        );
    }
    let deep = format!("x = {}a{}", "(".repeat(4000), ")".repeat(4000));
    assert!(Formula::parse(&deep).is_err());
}

#[test]
fn regress_an_account_is_held_against_its_equation() {
    let right = Account::of(&HOUSE, 3.0).with("a", 3.0, Origin::Read);
    assert_eq!(right.holds(), Ok(true));
    let wrong = Account::of(&HOUSE, 3.0).with("a", 3.1, Origin::Read);
    assert_eq!(wrong.holds(), Ok(false));
    assert!(matches!(
        Account::of(&HOUSE, 3.0).holds(),
        Err(FormulaError::NoNumber(_))
    ));
}
