//! The length of a search's steps.

/// Cosine of the angle between two steps beyond which they go the same way, or to and fro.
const TURNED: f64 = 0.3;

/// How far the steps go: where one takes back what the last did, they go to and fro across what they look for, and are
/// made shorter.
pub(super) struct Stride {
    share: f64,
    last: Vec<f64>,
}

impl Default for Stride {
    fn default() -> Self {
        Self {
            share: 1.0,
            last: Vec::new(),
        }
    }
}

impl Stride {
    /// The step to take for one that was found. Before it is under way a search goes as far as it finds.
    pub(super) fn of(&mut self, mut step: Vec<f64>, sd: &[f64], is_under_way: bool) -> Vec<f64> {
        // How much of the last step this one takes back, in the prior's deviations.
        let (mut both, mut own, mut before) = (0.0, 0.0, 0.0);
        for ((step, last), sd) in step.iter().zip(&self.last).zip(sd) {
            let weight = 1.0 / (sd * sd);
            both += weight * step * last;
            own += weight * step * step;
            before += weight * last * last;
        }
        let alike = both / (own * before).sqrt().max(f64::MIN_POSITIVE);
        if is_under_way {
            if alike < -TURNED && own > 0.1 * before {
                self.share *= 0.5;
            } else if alike > TURNED {
                self.share = (1.5 * self.share).min(1.0);
            }
        }
        for step in &mut step {
            *step *= self.share;
        }
        self.last.clone_from(&step);
        step
    }
}
