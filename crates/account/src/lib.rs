//! How a figure was computed: the equation, the numbers that went in, the source, the uncertainty.
//!
//! An [`Equation`] is a constant that stands beside the function that computes with it; an [`Account`] is that equation
//! with the numbers of one figure. The formula is text that a machine can read, so that a test holds every account
//! against its own equation ([`Account::holds`]) and a page can set it as mathematics ([`Formula::parse`]). What its
//! symbols and the equation itself mean to a trainee stands in the message files of the pages, under their names.
//!
//! ```
//! use account::{Account, Equation, Measure, Origin, symbol};
//! const RECOVERY: Equation = Equation {
//!     name: "recovery",
//!     formula: "Y = Q_p / (Q_p + Q_c)",
//!     symbols: &[
//!         symbol("Y", "recovery", Measure::Share),
//!         symbol("Q_p", "permeate-flow", Measure::Flow),
//!         symbol("Q_c", "concentrate-flow", Measure::Flow),
//!     ],
//!     source: "ASTM D4516",
//! };
//! let account = Account::of(&RECOVERY, 0.25)
//!     .with("Q_p", 20.0, Origin::Read)
//!     .with("Q_c", 60.0, Origin::Read);
//! assert_eq!(account.holds(), Ok(true));
//! ```
//!
//! Architecture invariant: knows nothing of water, units or words.
#![deny(clippy::disallowed_methods)]

mod formula;

pub use formula::{Expression, Formula, FormulaError, Operator};

/// What a number is a number of, with the base unit in which equations take it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// L/h.
    Flow,
    /// L.
    Volume,
    /// kPa.
    Pressure,
    /// C.
    Temperature,
    /// mg/L.
    Concentration,
    /// uS/cm at 25 C.
    Conductivity,
    /// m2.
    Area,
    /// Days.
    Days,
    /// A share of one, read in percent.
    Share,
    /// A factor, or any number without a unit.
    Number,
    /// L/(m2 h).
    Flux,
}

/// A letter of an equation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Symbol {
    /// As it stands in the formula; what follows `_` is set below the line.
    pub sign: &'static str,
    /// Its name: the pages say what it means under the key `symbol-NAME`.
    pub name: &'static str,
    /// What it is measured in.
    pub measure: Measure,
}

/// A symbol.
pub const fn symbol(sign: &'static str, name: &'static str, measure: Measure) -> Symbol {
    Symbol { sign, name, measure }
}

/// An equation as it is computed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Equation {
    /// Its name, one of its kind: the pages explain it under the keys `how-NAME` and `how-NAME-words`.
    pub name: &'static str,
    /// Both sides, as [`Formula::parse`] reads them, in the base units of the symbols.
    pub formula: &'static str,
    /// Its symbols; the first is the result.
    pub symbols: &'static [Symbol],
    /// Where it comes from.
    pub source: &'static str,
}

impl Equation {
    /// The symbol with this sign.
    pub fn symbol(&self, sign: &str) -> Option<&Symbol> {
        self.symbols.iter().find(|symbol| symbol.sign == sign)
    }

    /// The symbol of what is computed.
    pub fn result(&self) -> Option<&Symbol> {
        self.symbols.first()
    }
}

/// Where a number came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Read at the unit.
    Read,
    /// Not read: filled in from the unit's own hydraulics.
    Estimated,
    /// From the description of the unit: a label, a rating plate, a limit.
    Described,
    /// From the analysis of the feed.
    Analysed,
    /// From the unit's baseline: its readings when the membranes were new.
    Baseline,
    /// Learned from all readings together.
    Learned,
    /// A constant of nature or of the trade.
    Constant,
    /// The result of another equation.
    Computed(&'static Equation),
    /// Found by a search or a simulation that the equation's words describe.
    Solved,
}

/// A number that went into a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// Its letter in the formula.
    pub sign: &'static str,
    /// In the base unit of its measure.
    pub value: f64,
    /// One standard deviation, where one is known.
    pub sd: Option<f64>,
    /// Where it came from.
    pub origin: Origin,
}

/// How one figure was computed.
#[derive(Clone, Debug, PartialEq)]
pub struct Account {
    /// By what.
    pub equation: &'static Equation,
    /// The figure, in the base unit of its measure.
    pub value: f64,
    /// One standard deviation, where one is known.
    pub sd: Option<f64>,
    /// Where eight in ten lie, where that is known instead.
    pub range: Option<(f64, f64)>,
    /// What went in, in the order of the explanation. A sign that stands more than once is a list, for `sum`.
    pub inputs: Vec<Input>,
}

impl Account {
    /// Of a figure that this equation gave.
    pub fn of(equation: &'static Equation, value: f64) -> Self {
        Self {
            equation,
            value,
            sd: None,
            range: None,
            inputs: Vec::new(),
        }
    }

    /// With one standard deviation.
    #[must_use]
    pub fn give(mut self, sd: f64) -> Self {
        self.sd = sd.is_finite().then_some(sd);
        self
    }

    /// With a range that holds eight in ten.
    #[must_use]
    pub fn between(mut self, low: f64, high: f64) -> Self {
        self.range = Some((low, high));
        self
    }

    /// With a number that went in.
    #[must_use]
    pub fn with(self, sign: &'static str, value: f64, origin: Origin) -> Self {
        self.and(Input {
            sign,
            value,
            sd: None,
            origin,
        })
    }

    /// With a number that went in, and its standard deviation.
    #[must_use]
    pub fn with_sd(self, sign: &'static str, value: f64, sd: f64, origin: Origin) -> Self {
        self.and(Input {
            sign,
            value,
            sd: sd.is_finite().then_some(sd),
            origin,
        })
    }

    // Not inlined: hundreds of calls of it go to the browser.
    #[inline(never)]
    fn and(mut self, input: Input) -> Self {
        self.inputs.push(input);
        self
    }

    /// With the result of another account.
    #[must_use]
    pub fn from(self, sign: &'static str, other: &Self) -> Self {
        self.and(Input {
            sign,
            value: other.value,
            sd: other.sd,
            origin: Origin::Computed(other.equation),
        })
    }

    /// The numbers of a sign: the result's own, or what went in.
    fn numbers(&self, sign: &str) -> Vec<f64> {
        if self.equation.result().is_some_and(|symbol| symbol.sign == sign) {
            return vec![self.value];
        }
        let of_sign = self.inputs.iter().filter(|input| input.sign == sign);
        of_sign.map(|input| input.value).collect()
    }

    /// Whether both sides of the equation agree with these numbers, to one part in ten million of the larger.
    ///
    /// # Errors
    /// A formula that can't be read, a symbol without a number, a function that nothing computes.
    pub fn holds(&self) -> Result<bool, FormulaError> {
        let formula = Formula::parse(self.equation.formula)?;
        let side = |side: &Expression<'_>| side.value(&|sign| self.numbers(sign));
        let (left, right) = (side(&formula.left)?, side(&formula.right)?);
        // What is zero but for rounding is zero: a logarithm of one, a sum that cancels.
        let both = left.abs().max(right.abs()).max(1e-8);
        Ok((left - right).abs() <= 1e-7 * both)
    }
}
