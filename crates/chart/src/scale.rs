//! Scales of values: their range, their round ticks, and where a value lies.

use crate::number;

/// How values are laid out along an axis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Scale {
    /// Equal steps are equally far apart.
    #[default]
    Linear,
    /// Equal ratios are equally far apart; values at or below zero cannot be shown.
    Log,
}

/// What lies beyond (in a logarithm also below its inverse) is drawn as if it lay there; no quantity of the
/// trade comes near it, and the margin of a range that ends there is still a number.
const FAR: f64 = 1e200;
/// Ranges narrower than this part of their values are drawn as one value.
const NARROW: f64 = 1e-6;
/// Room left free beyond the outermost values, as a part of the range.
const MARGIN: f64 = 0.07;

/// A mark on an axis with its number.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tick {
    pub(crate) value: f64,
    pub(crate) text: String,
}

/// A scale over a range.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Span {
    scale: Scale,
    low: f64,
    high: f64,
}

impl Span {
    /// The range that holds all of these that the scale can show, with a margin; 0 to 1 (1 to 10) for none.
    pub(crate) fn over(values: impl IntoIterator<Item = f64>, scale: Scale) -> Self {
        let shown = values
            .into_iter()
            .filter(|v| shows(*v, scale))
            .map(|v| clamp(v, scale));
        let range = shown.fold(None, |range: Option<(f64, f64)>, v| {
            Some(range.map_or((v, v), |(low, high)| (low.min(v), high.max(v))))
        });
        match scale {
            Scale::Linear => {
                let (mut low, mut high) = range.unwrap_or((0.0, 1.0));
                let size = low.abs().max(high.abs());
                if size < 1e-290 {
                    (low, high) = (-1.0, 1.0);
                } else if high - low <= NARROW * size {
                    (low, high) = (low - 0.1 * size, high + 0.1 * size);
                }
                let margin = MARGIN * (high - low);
                // A range of nothing but amounts does not begin below nothing.
                let floor = if low >= 0.0 { 0.0 } else { f64::NEG_INFINITY };
                Self {
                    scale,
                    low: (low - margin).max(floor),
                    high: high + margin,
                }
            }
            Scale::Log => {
                let (low, high) = range.unwrap_or((1.0, 10.0));
                let (mut low, mut high) = (low.ln(), high.ln());
                if high - low <= NARROW {
                    (low, high) = (low - 0.4, high + 0.4);
                }
                let margin = MARGIN * (high - low);
                Self {
                    scale,
                    low: (low - margin).exp(),
                    high: (high + margin).exp(),
                }
            }
        }
    }

    /// Exactly this range where it is one, without a margin.
    pub(crate) fn exactly(range: (f64, f64), scale: Scale) -> Option<Self> {
        let (low, high) = (range.0.min(range.1), range.0.max(range.1));
        let good = [low, high].iter().all(|v| shows(*v, scale) && v.abs() <= FAR)
            && high - low > NARROW * low.abs().max(high.abs())
            && high - low > 1e-290;
        good.then_some(Self { scale, low, high })
    }

    /// Where a value lies: 0 at the low end, 1 at the high end, beyond them outside. None where it cannot be
    /// shown.
    pub(crate) fn place(&self, value: f64) -> Option<f64> {
        if !shows(value, self.scale) {
            return None;
        }
        let value = clamp(value, self.scale);
        let part = match self.scale {
            Scale::Linear => (value - self.low) / (self.high - self.low),
            Scale::Log => (value.ln() - self.low.ln()) / (self.high.ln() - self.low.ln()),
        };
        part.is_finite().then(|| part.clamp(-1e4, 1e4))
    }

    /// Whether a value lies in the range.
    pub(crate) fn holds(&self, value: f64) -> bool {
        self.place(value).is_some_and(|part| (0.0..=1.0).contains(&part))
    }

    /// Round numbers along the axis, about this many.
    pub(crate) fn ticks(&self, about: usize) -> Vec<Tick> {
        if self.scale == Scale::Log {
            let ticks = self.decades(about);
            // Over more than a decade, steps of one size would crowd at the top.
            if ticks.len() >= 3 || self.high / self.low > 20.0 {
                return ticks;
            }
        }
        let step = round_step((self.high - self.low) / about.max(1) as f64);
        let (first, last) = ((self.low / step).ceil(), (self.high / step).floor());
        let size = number::magnitude(self.low.abs().max(self.high.abs()));
        let mut ticks = Vec::new();
        let mut k = first;
        while k <= last && ticks.len() < 40 {
            let value = k * step;
            k += 1.0;
            if !near(value, self.scale) {
                continue;
            }
            let text = if size >= 6 || number::magnitude(step) < -4 {
                let decimals = usize::try_from(size - number::magnitude(step * 1.000_001)).unwrap_or(0);
                if value == 0.0 {
                    "0".to_owned()
                } else {
                    number::scientific(value, size, decimals)
                }
            } else {
                number::fixed(
                    value,
                    usize::try_from(-number::magnitude(step * 1.000_001)).unwrap_or(0),
                )
            };
            ticks.push(Tick { value, text });
        }
        ticks
    }

    /// Powers of ten, with their double and fivefold where there are few.
    fn decades(&self, about: usize) -> Vec<Tick> {
        let (first, last) = (number::magnitude(self.low), number::magnitude(self.high));
        let count = usize::try_from(last - first).unwrap_or(0);
        let every = (count / about.max(1)).max(1);
        let parts: &[f64] = if count <= 2 { &[1.0, 2.0, 5.0] } else { &[1.0] };
        (first..=last)
            .step_by(every)
            .flat_map(|exponent| parts.iter().map(move |part| part * 10_f64.powi(exponent)))
            .filter(|value| self.holds(*value) && near(*value, self.scale))
            .map(|value| Tick {
                value,
                text: number::short(value).replace("1.00\u{b7}", ""),
            })
            .collect()
    }
}

/// Whether a scale can show a value at all.
pub(crate) fn shows(value: f64, scale: Scale) -> bool {
    value.is_finite() && (scale == Scale::Linear || value > 0.0)
}

/// Whether a value has a place of its own, not that of the far ones.
fn near(value: f64, scale: Scale) -> bool {
    value.abs() <= FAR && (scale == Scale::Linear || value >= 1.0 / FAR)
}

fn clamp(value: f64, scale: Scale) -> f64 {
    match scale {
        Scale::Linear => value.clamp(-FAR, FAR),
        Scale::Log => value.clamp(1.0 / FAR, FAR),
    }
}

/// The next 1, 2 or 5 times a power of ten, from this up.
fn round_step(least: f64) -> f64 {
    let power = 10_f64.powi(number::magnitude(least));
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|step| *step >= least * 0.999_999)
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::{Scale, Span};

    fn texts(values: &[f64], scale: Scale) -> Vec<String> {
        let span = Span::over(values.iter().copied(), scale);
        span.ticks(5).into_iter().map(|tick| tick.text).collect()
    }

    #[test]
    fn regress_ticks_are_round() {
        assert_eq!(texts(&[78.0, 103.0], Scale::Linear), ["80", "90", "100"]);
        assert_eq!(texts(&[0.0, 1.0], Scale::Linear), ["0.0", "0.5", "1.0"]);
        assert_eq!(texts(&[1.0, 900.0], Scale::Log), ["1", "10", "100", "1000"]);
        assert_eq!(
            texts(&[2e9, 4e9], Scale::Linear).first().map(String::as_str),
            Some("2.0\u{b7}10\u{2079}")
        );
    }

    #[test]
    fn regress_odd_ranges_still_have_a_middle_and_ticks() {
        for values in [
            &[][..],
            &[5.0],
            &[0.0, 0.0],
            &[-3.0],
            &[f64::NAN, f64::INFINITY],
            &[f64::MAX, f64::MIN],
            &[5e-324, 0.0],
            &[1e15, 1e15 + 1.0],
        ] {
            for scale in [Scale::Linear, Scale::Log] {
                let span = Span::over(values.iter().copied(), scale);
                let ticks = span.ticks(5);
                assert!((1..=40).contains(&ticks.len()), "{values:?} {scale:?} {ticks:?}");
                for v in values.iter().filter(|v| super::shows(**v, scale)) {
                    assert!(
                        span.place(*v).is_some_and(|p| (-0.01..=1.01).contains(&p)),
                        "{values:?} {scale:?}"
                    );
                }
            }
        }
    }
}
