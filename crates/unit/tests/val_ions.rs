//! Several ions: neutral permeates, nothing lost, and the limits in which one salt says what must come out.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests stop at the first thing that is wrong"
)]

mod common;

use common::random::{Draw, tame};
use common::{hard_water, two_small_in_series};
use proptest::prelude::*;
use unit::{IonicFeed, IonicPoint, Model, PredictError, Segments, Solute, Unit, Workspace};
use water::{Carbonate, Composition, Constituent, Water, speciate};

fn solve(unit: &Unit, feed: &IonicFeed, inlet: f64) -> Result<(IonicPoint, Workspace), PredictError> {
    let model = Model::new(unit, Segments::default())?;
    let mut workspace = Workspace::new();
    let setting = Model::ionic_setting(feed, inlet, 0.0);
    let point = model.ionic_point(&model.parameters(), &setting, feed, &mut workspace)?;
    Ok((point, workspace))
}

/// Charge of what passed over its sum of charges, as it passed.
fn imbalance(point: &IonicPoint) -> f64 {
    let (mut net, mut all) = (0.0, 0.0);
    for s in &point.solutes {
        let equivalents = s.charge * s.permeate_mg_l / s.solute.molar_mass_g_mol();
        net += equivalents;
        all += equivalents.abs();
    }
    net / all
}

fn assert_balances(point: &IonicPoint) {
    let p = &point.point;
    // 1e-9: the model's own claim (model 2).
    assert!((p.permeate_flow_l_h + p.concentrate_flow_l_h - p.feed_flow_l_h).abs() < 1e-9 * p.feed_flow_l_h);
    for s in &point.solutes {
        let fed = s.feed_mg_l * p.feed_flow_l_h;
        let left = s.permeate_mg_l * p.permeate_flow_l_h + s.concentrate_mg_l * p.concentrate_flow_l_h;
        assert!(
            (left / fed - 1.0).abs() < 1e-9,
            "{:?}: {fed} in, {left} out",
            s.solute
        );
    }
    assert!(imbalance(point).abs() < 1e-9, "charge {:e}", imbalance(point));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn prop_every_ion_is_conserved_and_the_permeate_is_neutral(
        seed: u64,
        temperature in 2.0..30.0_f64,
        ph in 6.2..8.8_f64,
        amounts in proptest::collection::vec(0.0..1.0_f64, 16),
        alkalinity in 5.0..400.0_f64,
    ) {
        let (unit, setting, _) = tame(&mut Draw(seed));
        // Up to some tens of mg/L of traces and some hundreds of the main ions.
        let most = [300.0, 100.0, 400.0, 30.0, 5.0, 0.5, 2.0, 1.0, 3.0, 60.0, 2.0, 500.0, 400.0, 80.0, 3.0, 2.0];
        let mut composition = Composition::default().with_alkalinity_mg_l_caco3(alkalinity);
        for ((c, share), most) in Constituent::ALL.into_iter().zip(amounts).zip(most) {
            composition = composition.with_mg_l(c, if share < 0.15 { 0.0 } else { share * most });
        }
        let Ok(water) = speciate(&composition, Carbonate::Ph(ph), temperature) else { return Ok(()) };
        let Ok(feed) = IonicFeed::new(&water, temperature) else { return Ok(()) };
        match solve(&unit, &feed, setting.inlet_pressure_kpa) {
            Ok((point, workspace)) => {
                assert_balances(&point);
                for element in workspace.elements() {
                    prop_assert!(element.permeate_flow_l_h > 0.0);
                }
            }
            Err(PredictError::NoPermeate { .. } | PredictError::Rating { .. }) => {}
            Err(other) => return Err(TestCaseError::fail(format!("{other:?}"))),
        }
    }
}

#[test]
fn val_sodium_chloride_as_ions_is_one_salt() {
    // A feed of sodium chloride as two ions must pass as the one salt does: equal ratios, no potential. Osmotic pressure is
    // the only difference (Pitzer against a pressure in proportion); at 60 mg/L it is 0.5 % of the driving pressure.
    let mut composition = Composition::default();
    composition[Constituent::Sodium] = 1e-3;
    composition[Constituent::Chloride] = 1e-3;
    let water = speciate(&composition, Carbonate::TotalCarbon(0.0), 15.0).unwrap();
    let feed = IonicFeed::new(&water, 15.0).unwrap();
    let unit = two_small_in_series();
    let (ions, _) = solve(&unit, &feed, 400.0).unwrap();
    let model = Model::new(&unit, Segments::default()).unwrap();
    let setting = Model::ionic_setting(&feed, 400.0, 0.0);
    let one = model
        .solve(&model.parameters(), &setting, &mut Workspace::new())
        .unwrap();
    // The curvature of Pitzer's pressure between feed and concentrate: 1 % of 0.5 %.
    assert!((ions.point.permeate_flow_l_h / one.permeate_flow_l_h - 1.0).abs() < 1e-4);
    assert!((ions.point.salt_passage / one.salt_passage - 1.0).abs() < 2e-4);
    assert_balances(&ions);
}

#[test]
fn val_bore_water() {
    let water = Water::complete(&hard_water()).unwrap();
    let feed = IonicFeed::new(water.speciation(), 10.0).unwrap();
    let (point, _) = solve(&two_small_in_series(), &feed, 400.0).unwrap();
    assert_balances(&point);
    let passage = |solute: Solute| {
        let s = point.solutes.iter().find(|s| s.solute == solute).unwrap();
        s.permeate_mg_l / s.feed_mg_l
    };
    // CO2 passes freely: as much in the permeate as in the feed, before it meets the ions that passed. Rounding only.
    assert!((passage(Solute::CarbonDioxide) - 1.0).abs() < 1e-9);
    // Divalent ions pass less than sodium, nitrate more than chloride, boric acid most (the order of the table of ratios).
    let of = |c| passage(Solute::Of(c));
    assert!(of(Constituent::Calcium) < 0.5 * of(Constituent::Sodium));
    assert!(of(Constituent::Sulfate) < 0.3 * of(Constituent::Chloride));
    assert!(of(Constituent::Nitrate) > 1.5 * of(Constituent::Chloride));
    assert!(of(Constituent::Boron) > 0.25);
    // The permeate keeps the CO2 and loses the bicarbonate: its pH falls by log10 of what alkalinity is left
    // (Henderson-Hasselbalch), within what activity coefficients make, 0.1.
    let alkalinity =
        point.permeate.composition().alkalinity_eq_kg / feed.speciation().composition().alkalinity_eq_kg;
    let expected = feed.speciation().ph() + alkalinity.log10();
    assert!(
        (point.permeate.ph() - expected).abs() < 0.1,
        "pH {} for {expected}",
        point.permeate.ph()
    );
    // On hard water one salt overstates the permeate's salt (model 2).
    let model = Model::new(&two_small_in_series(), Segments::default()).unwrap();
    let setting = Model::ionic_setting(&feed, 400.0, 0.0);
    let one = model
        .solve(&model.parameters(), &setting, &mut Workspace::new())
        .unwrap();
    assert!(point.point.salt_passage < one.salt_passage);
    // Equal waters: the ions leave as much to the restrictor as the one salt, to the little their osmotic pressure differs.
    assert!((point.point.permeate_flow_l_h / one.permeate_flow_l_h - 1.0).abs() < 5e-3);
    // The concentrate of the element model conserves carbon; that of ASTM D3739 does not and errs to the safe side.
    let standard = water::concentrate(feed.speciation(), point.point.recovery, 0.0).unwrap();
    let calcite = water::Mineral::Calcite;
    assert!(point.concentrate.saturation_index(calcite) < standard.saturation_index(calcite));
    // The wall is more concentrated than the concentrate.
    assert!(point.saturation_at_wall()[0] > point.concentrate.saturation_index(calcite));
    let (cations, anions) = point.resin_load_eq_l();
    // A neutral permeate loads the anion resin with its cations' equivalents and with CO2, silica and boron on top, and the
    // cation resin with ammonia.
    let extra: f64 = point
        .solutes
        .iter()
        .filter(|s| s.charge.abs() < 0.5)
        .map(|s| {
            let mol = s.permeate_mg_l / s.solute.molar_mass_g_mol() / 1e3;
            if s.solute == Solute::Ammonia { -mol } else { mol }
        })
        .sum();
    assert!((anions - cations - extra).abs() < 1e-9 * anions);
}

#[test]
fn val_gas_and_ions_at_no_flux_and_infinite_pressure() {
    // With little driving pressure every ion passes nearly whole; with much, nearly none but what passes freely (limits of
    // the equations).
    let water = Water::complete(&hard_water()).unwrap();
    let feed = IonicFeed::new(water.speciation(), 15.0).unwrap();
    let unit = two_small_in_series();
    let osmotic = feed.osmotic_pressure_kpa();
    let (low, _) = solve(&unit, &feed, osmotic + 2.0).unwrap();
    let (high, _) = solve(&unit, &feed, 900.0).unwrap();
    assert!(low.point.salt_passage > 3.0 * high.point.salt_passage);
    assert_balances(&low);
    assert_balances(&high);
}
