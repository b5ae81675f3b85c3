//! Formulas as text that both a machine and a person can read: `Q_std = Q_p * NDP_s / (NDP * TCF)`.

use std::fmt;

/// How deep brackets may stand in each other.
const DEEPEST: usize = 32;

/// An operator between two terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operator {
    /// a + b.
    Plus,
    /// a - b.
    Minus,
    /// a b.
    Times,
    /// a over b.
    Over,
    /// a to the power of b.
    Power,
}

/// One side of a formula.
#[derive(Clone, Debug, PartialEq)]
pub enum Expression<'a> {
    /// A number as it is written.
    Number(&'a str),
    /// A symbol's sign.
    Sign(&'a str),
    /// Two terms.
    Two(Operator, Box<Expression<'a>>, Box<Expression<'a>>),
    /// -a.
    Negative(Box<Expression<'a>>),
    /// A function of one argument: `ln`, `log10`, `exp`, `sqrt`, `sum`, or the name of a rule that is told in words.
    Function(&'a str, Vec<Expression<'a>>),
}

/// A formula: two sides that are equal.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula<'a> {
    /// Before the sign of equality.
    pub left: Expression<'a>,
    /// After it.
    pub right: Expression<'a>,
}

/// Why a formula says nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FormulaError {
    /// It can't be read from this byte on.
    Unreadable(usize),
    /// A symbol has no number, or several where one is wanted.
    NoNumber(String),
    /// A function that is told in words and not computed here.
    InWords(String),
}

impl fmt::Display for FormulaError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(at) => write!(f, "the formula can't be read from byte {at} on"),
            Self::NoNumber(sign) => write!(f, "{sign} has no number, or several where one is wanted"),
            Self::InWords(name) => write!(f, "{name} is a rule in words and is not computed here"),
        }
    }
}

impl std::error::Error for FormulaError {}

impl<'a> Formula<'a> {
    /// Reads `left = right` with `+ - * / ^`, brackets, functions of arguments between commas, numbers with a point,
    /// and signs of letters, digits and `_`.
    ///
    /// # Errors
    /// [`FormulaError::Unreadable`] with the place.
    pub fn parse(text: &'a str) -> Result<Self, FormulaError> {
        let mut reader = Reader {
            text,
            at: 0,
            depth: 0,
        };
        let left = reader.sum()?;
        reader.must_take('=')?;
        let right = reader.sum()?;
        reader.skip();
        if reader.at < text.len() {
            return Err(reader.unreadable());
        }
        Ok(Self { left, right })
    }
}

impl Expression<'_> {
    /// Its value with the numbers that `numbers` has for each sign.
    ///
    /// # Errors
    /// [`FormulaError::NoNumber`], [`FormulaError::InWords`].
    pub fn value(&self, numbers: &dyn Fn(&str) -> Vec<f64>) -> Result<f64, FormulaError> {
        match self {
            Self::Number(text) => text
                .parse()
                .map_err(|_| FormulaError::NoNumber((*text).to_owned())),
            Self::Sign(sign) => match numbers(sign).as_slice() {
                [one] => Ok(*one),
                _ => Err(FormulaError::NoNumber((*sign).to_owned())),
            },
            Self::Negative(one) => Ok(-one.value(numbers)?),
            Self::Two(operator, a, b) => {
                let (a, b) = (a.value(numbers)?, b.value(numbers)?);
                Ok(match operator {
                    Operator::Plus => a + b,
                    Operator::Minus => a - b,
                    Operator::Times => a * b,
                    Operator::Over => a / b,
                    Operator::Power => a.powf(b),
                })
            }
            Self::Function("sum", arguments) => match arguments.as_slice() {
                [Self::Sign(sign)] => Ok(numbers(sign).iter().sum()),
                [term] => term.sum(numbers),
                _ => Err(FormulaError::InWords("sum".to_owned())),
            },
            Self::Function("median", arguments) => match arguments.as_slice() {
                [Self::Sign(sign)] => {
                    let mut values = numbers(sign);
                    values.sort_by(f64::total_cmp);
                    let half = values.len() / 2;
                    let upper = values
                        .get(half)
                        .copied()
                        .ok_or_else(|| FormulaError::NoNumber((*sign).to_owned()))?;
                    let even = values.len().is_multiple_of(2);
                    let lower = values.get(half.saturating_sub(1)).copied().unwrap_or(upper);
                    Ok(if even { f64::midpoint(lower, upper) } else { upper })
                }
                _ => Err(FormulaError::InWords("median".to_owned())),
            },
            Self::Function(name, arguments) => {
                let of = |f: fn(f64) -> f64| match arguments.as_slice() {
                    [one] => Ok(f(one.value(numbers)?)),
                    _ => Err(FormulaError::InWords((*name).to_owned())),
                };
                let of_two = |f: fn(f64, f64) -> f64| match arguments.as_slice() {
                    [a, b] => Ok(f(a.value(numbers)?, b.value(numbers)?)),
                    _ => Err(FormulaError::InWords((*name).to_owned())),
                };
                match *name {
                    "ln" => of(f64::ln),
                    "log10" => of(f64::log10),
                    "exp" => of(f64::exp),
                    "sqrt" => of(f64::sqrt),
                    "min" => of_two(f64::min),
                    "max" => of_two(f64::max),
                    other => Err(FormulaError::InWords(other.to_owned())),
                }
            }
        }
    }
}

impl Expression<'_> {
    /// The sum of this term over the lists that its signs stand for, all of one length; a sign with one number stands for
    /// it in every term.
    fn sum(&self, numbers: &dyn Fn(&str) -> Vec<f64>) -> Result<f64, FormulaError> {
        let mut signs = Vec::new();
        self.signs(&mut signs);
        let lists: Vec<(&str, Vec<f64>)> = signs.into_iter().map(|sign| (sign, numbers(sign))).collect();
        let count = lists.iter().map(|(_, list)| list.len()).max().unwrap_or(0);
        if let Some((sign, _)) = lists.iter().find(|(_, list)| ![1, count].contains(&list.len())) {
            return Err(FormulaError::NoNumber((*sign).to_owned()));
        }
        let mut sum = 0.0;
        for at in 0..count {
            sum += self.value(&|sign| {
                let list = lists.iter().find(|(one, _)| *one == sign).map(|(_, list)| list);
                let one = list.and_then(|list| list.get(at).or_else(|| list.first()));
                one.copied().into_iter().collect()
            })?;
        }
        Ok(sum)
    }

    /// Every sign that stands in it.
    fn signs<'s>(&'s self, found: &mut Vec<&'s str>) {
        match self {
            Self::Number(_) => {}
            Self::Sign(sign) => found.push(sign),
            Self::Negative(one) => one.signs(found),
            Self::Two(_, a, b) => {
                a.signs(found);
                b.signs(found);
            }
            Self::Function(_, arguments) => arguments.iter().for_each(|one| one.signs(found)),
        }
    }
}

struct Reader<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
}

impl<'a> Reader<'a> {
    fn unreadable(&self) -> FormulaError {
        FormulaError::Unreadable(self.at)
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn skip(&mut self) {
        self.at = self.text.len() - self.rest().trim_start().len();
    }

    /// The next character that is no space.
    fn peek(&mut self) -> Option<char> {
        self.skip();
        self.rest().chars().next()
    }

    fn take(&mut self, wanted: char) -> bool {
        let found = self.peek() == Some(wanted);
        if found {
            self.at += wanted.len_utf8();
        }
        found
    }

    fn must_take(&mut self, wanted: char) -> Result<(), FormulaError> {
        if self.take(wanted) {
            Ok(())
        } else {
            Err(self.unreadable())
        }
    }

    /// The longest run of characters of a kind; none where there is none.
    fn run(&mut self, kind: impl Fn(char) -> bool) -> Option<&'a str> {
        let rest = self.rest();
        let length = rest.find(|c| !kind(c)).unwrap_or(rest.len());
        let found = rest.get(..length).filter(|found| !found.is_empty())?;
        self.at += length;
        Some(found)
    }

    fn sum(&mut self) -> Result<Expression<'a>, FormulaError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.unreadable());
        }
        let mut left = self.product()?;
        loop {
            let operator = match self.peek() {
                Some('+') => Operator::Plus,
                Some('-') => Operator::Minus,
                _ => break,
            };
            self.at += 1;
            let right = self.product()?;
            left = Expression::Two(operator, Box::new(left), Box::new(right));
        }
        self.depth -= 1;
        Ok(left)
    }

    fn product(&mut self) -> Result<Expression<'a>, FormulaError> {
        let mut left = self.power()?;
        loop {
            let operator = match self.peek() {
                Some('*') => Operator::Times,
                Some('/') => Operator::Over,
                _ => break,
            };
            self.at += 1;
            let right = self.power()?;
            left = Expression::Two(operator, Box::new(left), Box::new(right));
        }
        Ok(left)
    }

    fn power(&mut self) -> Result<Expression<'a>, FormulaError> {
        if self.take('-') {
            return Ok(Expression::Negative(Box::new(self.power()?)));
        }
        let base = self.atom()?;
        if self.take('^') {
            let exponent = self.power()?;
            return Ok(Expression::Two(
                Operator::Power,
                Box::new(base),
                Box::new(exponent),
            ));
        }
        Ok(base)
    }

    fn atom(&mut self) -> Result<Expression<'a>, FormulaError> {
        match self.peek() {
            Some('(') => {
                self.at += 1;
                let inner = self.sum()?;
                self.must_take(')')?;
                Ok(inner)
            }
            Some(c) if c.is_ascii_digit() => {
                let digits = self.run(|c| c.is_ascii_digit() || c == '.');
                digits.map(Expression::Number).ok_or(self.unreadable())
            }
            Some(c) if c.is_alphabetic() => {
                let name = self.run(|c| c.is_alphanumeric() || c == '_');
                let name = name.ok_or(self.unreadable())?;
                if !self.take('(') {
                    return Ok(Expression::Sign(name));
                }
                let mut arguments = vec![self.sum()?];
                while self.take(',') {
                    arguments.push(self.sum()?);
                }
                self.must_take(')')?;
                Ok(Expression::Function(name, arguments))
            }
            _ => Err(self.unreadable()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Formula, FormulaError};

    fn worked_out(formula: &str) -> Result<f64, FormulaError> {
        let formula = Formula::parse(formula)?;
        formula.right.value(&|sign| match sign {
            "p" => vec![0.5, 0.25, 0.25],
            "x" => vec![1.0, 2.0, 4.0],
            "k" => vec![10.0],
            "short" => vec![1.0, 2.0],
            _ => Vec::new(),
        })
    }

    #[test]
    fn val_a_sum_runs_over_the_lists_of_its_term() {
        // Shannon 1948: the entropy of a half and two quarters is one and a half bits.
        let bits = worked_out("H = -sum(p * ln(p)) / ln(2)").unwrap();
        assert!((bits - 1.5).abs() < 1e-15, "{bits}");
        assert!((worked_out("m = sum(p * x)").unwrap() - 2.0).abs() < 1e-15);
        assert!((worked_out("m = sum(k * x)").unwrap() - 70.0).abs() < 1e-15);
        assert_eq!(
            worked_out("m = sum(p * short)"),
            Err(FormulaError::NoNumber("short".to_owned()))
        );
        assert_eq!(
            worked_out("m = sum(p * none)"),
            Err(FormulaError::NoNumber("none".to_owned()))
        );
    }
}
