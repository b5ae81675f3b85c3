//! What a feed does to parts, over a typical one.

use jiff::Timestamp;
use reading::EventKind;
use unit::Unit;
use water::Analysis;

use super::prior::Prior;
use super::scaling;
use crate::standardise::History;

/// How much faster a feed wears parts than a typical one does: 1 where nothing is known of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Severity {
    /// Of filters: by what the feed carries.
    pub filters: f64,
    /// Of membranes' fouling: by what fine matter gets past the filters.
    pub membranes: f64,
    /// Fall of ln A in a year of usual use by scale, besides fouling: 0 where nothing is supersaturated at the tail's wall,
    /// or the ions are not known.
    pub scaling: f64,
}

/// Turbidity of a typical feed of small units, NTU: what waterworks aim at is below 1 (WHO, Guidelines for drinking-water
/// quality, 4th edition, annex 3), what they send out about half of that (common practice, no source).
const TYPICAL_NTU: f64 = 0.5;
/// 15-minute silt density index of the same, %/min (ASTM D4189's index; up to 5 is taken for spiral-wound membranes, and 3 is
/// about what tap water shows: common practice, no source).
const TYPICAL_SDI: f64 = 3.0;
/// A turbid feed fouls membranes less than in proportion, since the filters hold most of it back (common practice, no
/// source).
const PAST_THE_FILTERS: f64 = 0.5;
/// How much a worse feed shortens lives is a power of 1 with this standard deviation (`pool.rs`).
pub(super) const POWER_SD: f64 = 0.5;
/// No feed counts for less or more than this against a typical one: beyond, the meters and the rule say little.
const RANGE: (f64, f64) = (0.2, 10.0);

impl Severity {
    /// Nothing known of the feed.
    pub const TYPICAL: Self = Self {
        filters: 1.0,
        membranes: 1.0,
        scaling: 0.0,
    };

    /// Of a feed with what was measured of it, to the parts of this unit.
    pub fn of(unit: &Unit, feed: Option<&Analysis>) -> Self {
        let Some(feed) = feed else {
            return Self::TYPICAL;
        };
        let over = |value: Option<f64>, typical: f64| {
            value
                .filter(|value| *value > 0.0 && value.is_finite())
                .map(|value| value / typical)
        };
        let (turbidity, sdi) = (over(feed.turbidity_ntu, TYPICAL_NTU), over(feed.sdi, TYPICAL_SDI));
        let within = |severity: f64| severity.clamp(RANGE.0, RANGE.1);
        Self {
            filters: within(turbidity.or(sdi).unwrap_or(1.0)),
            membranes: within(
                sdi.or(turbidity.map(|over| over.powf(PAST_THE_FILTERS)))
                    .unwrap_or(1.0),
            ),
            scaling: scaling::a_year(unit, feed),
        }
    }

    /// The rate at which ln A falls, a year of usual use, where it falls at `fouling` (median and sd of its logarithm) without
    /// scale: the two added, to first order.
    pub(super) fn with_scale(&self, fouling: (f64, f64)) -> (f64, f64) {
        let all = fouling.0 + self.scaling;
        let (dirt, scale) = (fouling.0 / all, self.scaling / all);
        (all, (dirt * fouling.1).hypot(scale * scaling::SD))
    }

    /// What a change from this feed to another does to ln rates of wear: means and standard deviations, of membranes and of
    /// filters.
    fn to(&self, other: &Self, prior: &Prior) -> [(f64, f64); 2] {
        let fouling = Prior::default().membrane_rates[0];
        let [before, after] = [self, other].map(|one| {
            let (all, _) = one.with_scale((fouling.0 * one.membranes, fouling.1));
            (all, one.scaling / all)
        });
        let (dirt, filters) = (
            (other.membranes / self.membranes).ln(),
            (other.filters / self.filters).ln(),
        );
        let sd = |known: f64| prior.feed_change_sd.hypot(POWER_SD * known);
        [
            (
                (after.0 / before.0).ln(),
                sd(dirt).hypot(scaling::SD * (after.1 - before.1)),
            ),
            (filters, sd(filters)),
        ]
    }
}

/// What each change of the feed up to a time does to ln rates: means and standard deviations, of membranes and of filters.
///
/// The history's feed is the one before the first change of which the event tells the new water. Of a change that tells none
/// only the spread is known.
pub(super) fn shifts(history: &History<'_>, as_of: Timestamp, prior: &Prior) -> Vec<[(f64, f64); 2]> {
    let events = history.events.iter();
    let changes = events.filter(|event| event.kind == EventKind::FeedChanged && event.at <= as_of);
    let mut before = None;
    changes
        .map(|change| {
            let Some(water) = &change.water else {
                return [(0.0, prior.feed_change_sd); 2];
            };
            let was = before.unwrap_or_else(|| Severity::of(history.unit, history.water));
            let now = Severity::of(history.unit, Some(water));
            before = Some(now);
            was.to(&now, prior)
        })
        .collect()
}
