//! Doses, times and volumes against what stands outside the project.

use service::{Action, DoseOf, Doses, render_text};

use crate::common::{cafe, glasshouse};
use crate::examples::card;

/// pH of a weak acid of these pKa at `molar`, by charge balance (activity corrections left out).
fn ph_of_acid(molar: f64, pka: &[f64], sodium: f64) -> f64 {
    let charge = |ph: f64| {
        let h = 10_f64.powf(-ph);
        let mut terms = vec![1.0];
        for pk in pka {
            let last = terms.last().copied().unwrap_or(1.0);
            terms.push(last * 10_f64.powf(-pk) / h);
        }
        let sum: f64 = terms.iter().sum();
        let bound: f64 = terms
            .iter()
            .enumerate()
            .map(|(n, term)| n as f64 * term / sum)
            .sum();
        h + sodium - 1e-14 / h - molar * bound
    };
    let (mut low, mut high) = (0.0, 14.0);
    for _ in 0..80 {
        let middle = f64::midpoint(low, high);
        if charge(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[test]
fn val_baths_stand_at_the_ph_that_the_card_names() {
    // Dissociation constants at 25 C: CRC Handbook of Chemistry and Physics (citric acid 3.13, 4.76, 6.40;
    // carbonic acid 6.35, 10.33). Molar masses 192.12 and 105.99 g/mol.
    let citric = ph_of_acid(20.0 / 192.12, &[3.13, 4.76, 6.40], 0.0);
    let soda = 2.0 / 105.99;
    let carbonate = ph_of_acid(soda, &[6.35, 10.33], 2.0 * soda);
    // A tenth of a pH: what a strip cannot show and activity coefficients move.
    assert!((citric - 2.1).abs() < 0.1, "{citric}");
    assert!((carbonate - 11.2).abs() < 0.1, "{carbonate}");
    let text = render_text(&card(&glasshouse(), &["descale"]));
    assert!(text.contains("pH between 2.0 and 2.5"), "{text}");
    let text = render_text(&card(&glasshouse(), &["clean"]));
    assert!(text.contains("pH between 10.5 and 11.5"), "{text}");
}

#[test]
fn val_chlorine_dose_and_time_are_those_of_the_water_fittings_guidance() {
    // Guidance G13.1 to the Water Supply (Water Fittings) Regulations 1999 and BS 6700:2006, 3.1.10: not less
    // than 50 mg/L, left to stand for one hour.
    let doses = Doses::load().unwrap_or_else(|error| panic!("{error}"));
    for unit in [glasshouse(), cafe()] {
        let dose = doses.bleach(&unit);
        assert_eq!(dose.of, DoseOf::Bleach);
        // 5 % available chlorine is 50 mg per mL.
        let strength = dose.amount * 50.0 / dose.volume_l;
        // Rounded up to whole millilitres: never under, and at most one millilitre over.
        assert!(
            strength >= 50.0 && strength <= 50.0 + 50.0 / dose.volume_l,
            "{strength}"
        );
        let card = card(&unit, &["sanitise"]);
        let soak = card
            .steps
            .iter()
            .find(|step| step.action == Action::Soak)
            .and_then(|step| step.minutes);
        assert_eq!(soak, Some(60));
    }
}

#[test]
fn val_volumes_are_those_of_geometry() {
    // A 2012 vessel: pi/4 (2.0 in)^2 12 in = 0.618 L; with a tenth for its ends 0.680 L. Bowls hold 1 L each
    // but the carbon's, 1.4 L of bed; tubes and pump add little. Tolerance 2 %: the card rounds to 0.1 L.
    let doses = Doses::load().unwrap_or_else(|error| panic!("{error}"));
    let expected = 1.0 + 1.4 * 1.4 + 0.1 + 2.0 * 0.680 + 0.02 * 9.0;
    let volume = doses.empty_volume_l(&glasshouse());
    assert!(
        (volume / expected - 1.0).abs() < 0.02,
        "{volume} against {expected}"
    );
    let single = doses.element_volume_l(&glasshouse()) / 2.0;
    // Feed channel of 0.74 m2: 0.89 x 0.7 mm x 0.37 m2 = 0.231 L, and a sixth of the vessel.
    assert!((single - (0.231 + 0.680 / 6.0)).abs() < 0.005, "{single}");
}
