//! What a feed does to parts, over a typical one.

use water::Analysis;

/// How much faster a feed wears parts than a typical one does: 1 where nothing is known of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Severity {
    /// Of filters: by what the feed carries.
    pub filters: f64,
    /// Of membranes' fouling: by what fine matter gets past the filters.
    pub membranes: f64,
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
/// No feed counts for less or more than this against a typical one: beyond, the meters and the rule say little.
const RANGE: (f64, f64) = (0.2, 10.0);

impl Severity {
    /// Nothing known of the feed.
    pub const TYPICAL: Self = Self {
        filters: 1.0,
        membranes: 1.0,
    };

    /// Of a feed with what was measured of it.
    pub fn of(feed: Option<&Analysis>) -> Self {
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
        }
    }
}
