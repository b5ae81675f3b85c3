//! What in a feed threatens a stage or the membranes, besides scale: `data/threats.csv`.

use std::sync::LazyLock;

use crate::analysis::Analysis;

/// Something in the feed that is over its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Threat {
    /// The field of the analysis.
    pub field: &'static str,
    /// What was read.
    pub read: f64,
    /// The limit.
    pub limit: f64,
    /// The unit of both.
    pub unit: &'static str,
    /// What is threatened: `membranes`, `carbon` or `sediment`.
    pub stage: &'static str,
    /// For an oxidant, how long it may run where no carbon takes it until salt passage has doubled, hours.
    pub doubled_after_h: Option<f64>,
    /// What it does and how soon, in English.
    pub sentence: String,
    /// Where the limit comes from.
    pub source: &'static str,
}

struct Row {
    field: &'static str,
    limit: f64,
    unit: &'static str,
    stage: &'static str,
    threat: &'static str,
    soon: &'static str,
    source: &'static str,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    include_str!("../data/threats.csv")
        .lines()
        .skip(1)
        .filter_map(|line| {
            let mut cells = line.split('|');
            Some(Row {
                field: cells.next()?,
                limit: cells.next()?.parse().ok()?,
                unit: cells.next()?,
                stage: cells.next()?,
                threat: cells.next()?,
                soon: cells.next()?,
                source: cells.next()?,
            })
        })
        .collect()
});

/// Exposure of polyamide to free chlorine at which salt passage has doubled, mg/L h (from memory: model, section 5).
const DOUBLING_MG_L_H: f64 = 1000.0;
/// What a milligram of chloramine counts as of free chlorine (from memory: model, section 5).
const CHLORAMINE_WEIGHT: f64 = 0.01;

/// Everything in an analysis that is over its limit, oxidants first.
pub fn threats(analysis: &Analysis) -> Vec<Threat> {
    ROWS.iter()
        .filter_map(|row| {
            let read = match row.field {
                "free_chlorine" => analysis.free_chlorine_mg_l,
                "chloramine" => analysis.chloramine_mg_l,
                "turbidity" => analysis.turbidity_ntu,
                "sdi" => analysis.sdi,
                "iron" => analysis.iron_mg_l,
                "manganese" => analysis.manganese_mg_l,
                "toc" => analysis.toc_mg_l,
                _ => None,
            }?;
            if read.is_nan() || read <= row.limit {
                return None;
            }
            let weight = match row.field {
                "free_chlorine" => Some(1.0),
                "chloramine" => Some(CHLORAMINE_WEIGHT),
                _ => None,
            };
            let doubled_after_h = weight.map(|weight| DOUBLING_MG_L_H / (weight * read));
            let soon = match doubled_after_h {
                Some(after_h) => format!(
                    "where no carbon takes it, salt passage has doubled after about {} of running",
                    hours(after_h)
                ),
                None => row.soon.to_owned(),
            };
            let name = row.field.replace('_', " ");
            Some(Threat {
                field: row.field,
                read,
                limit: row.limit,
                unit: row.unit,
                stage: row.stage,
                doubled_after_h,
                sentence: format!(
                    "{} {read} {} (limit {}): {}; {soon}.",
                    capital(&name),
                    row.unit,
                    row.limit,
                    row.threat
                ),
                source: row.source,
            })
        })
        .collect()
}

fn capital(text: &str) -> String {
    if text == "sdi" || text == "toc" {
        return text.to_uppercase();
    }
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| {
        c.to_uppercase().collect::<String>() + letters.as_str()
    })
}

fn hours(hours: f64) -> String {
    if hours < 200.0 {
        format!("{hours:.0} hours")
    } else {
        format!("{:.0} days", hours / 24.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_limit_is_read_and_only_what_is_over_it_is_named() {
        assert_eq!(ROWS.len(), 7);
        let clean = Analysis {
            free_chlorine_mg_l: Some(0.1),
            sdi: Some(3.0),
            ..Analysis::default()
        };
        assert!(threats(&clean).is_empty());
        let bad = Analysis {
            free_chlorine_mg_l: Some(1.0),
            chloramine_mg_l: Some(3.0),
            turbidity_ntu: Some(2.0),
            sdi: Some(6.0),
            iron_mg_l: Some(0.4),
            manganese_mg_l: Some(0.1),
            toc_mg_l: Some(5.0),
            ..Analysis::default()
        };
        assert_eq!(threats(&bad).len(), 7);
    }

    #[test]
    fn val_exposure_of_chlorine() {
        // `reference/check-values.md` 10.08: 0.05 mg/L reaches 1000 mg/L h in 20 000 hours; so 1 mg/L in 1000 h = 42 days.
        let t = threats(&Analysis {
            free_chlorine_mg_l: Some(1.0),
            ..Analysis::default()
        });
        assert!(t[0].sentence.contains("42 days"), "{}", t[0].sentence);
    }
}
