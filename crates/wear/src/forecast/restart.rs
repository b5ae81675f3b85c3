//! A second search where the first may have ended at the lesser of two summits.
//!
//! A blocked filter, a weak pump and a slip of the pen look alike in few readings, and what is found hangs on where the search
//! began. Where anything came out far from what is usual of such units, it begins again with filters that load slowly, and
//! the better of the two stands.

use super::course::Courses;
use super::evidence::Evidence;
use super::fit::{ENOUGH, Fit, fit};
use super::plant::{Plant, Rated};

/// Deviations of the prior from its mean beyond which a find is looked into.
const FAR: f64 = 2.0;
/// ln of the second start's rate of loading against the first's.
const SLOWLY: f64 = -1.5;
/// How much better, in -2 ln of its probability, the second must be.
const BETTER: f64 = 1.0;

/// [`fit`], begun twice where that may tell more. Many readings leave no second summit, and would take long.
pub(super) fn fit_anew_if_far(
    plant: &Plant,
    rated: &[Rated],
    courses: &Courses<'_>,
    evidence: &mut Vec<Evidence>,
) -> Fit {
    let before = (evidence.len() <= ENOUGH && !courses.timeline.filters.is_empty()).then(|| evidence.clone());
    let found = fit(plant, rated, courses, evidence);
    let Some(mut again) = before.filter(|_| is_far(courses, &found)) else {
        return found;
    };
    let mut unknowns = courses.unknowns.clone();
    for filter in &unknowns.filters {
        unknowns.start[filter.rate] += SLOWLY;
    }
    let courses = Courses {
        unknowns: &unknowns,
        ..*courses
    };
    let second = fit(plant, rated, &courses, &mut again);
    if second.cost() < found.cost() - BETTER {
        *evidence = again;
        return second;
    }
    found
}

fn is_far(courses: &Courses<'_>, found: &Fit) -> bool {
    let unknowns = courses.unknowns;
    let prior = unknowns.mean.iter().zip(&unknowns.sd);
    let mut off = found.x.iter().zip(prior);
    off.any(|(x, (mean, sd))| (x - mean).abs() > FAR * sd)
}
