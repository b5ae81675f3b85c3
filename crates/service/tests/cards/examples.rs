//! Cards as a technician would read them, and doses against what stands outside the project.

use service::{
    Action, CardError, Expected, JobCard, Missing, Phase, Site, Work, cautions, job_card, render_text,
};
use unit::{Shutoff, Unit};

use crate::common::{cafe, carbon, glasshouse, open_tank, pleated, polish, pressurised_tank, stage, work};

pub(crate) fn card(unit: &Unit, words: &[&str]) -> JobCard {
    job_card(unit, &work(words), &Site::default()).unwrap_or_else(|error| panic!("{words:?}: {error}"))
}

fn lines(card: &JobCard) -> Vec<String> {
    card.steps
        .iter()
        .map(|step| {
            let target = step.target.as_deref().unwrap_or("-");
            let minutes = step
                .minutes
                .map(|minutes| format!(" {minutes}"))
                .unwrap_or_default();
            format!("{} {target}{minutes}", step.action.name())
        })
        .collect()
}

#[test]
fn regress_a_sediment_cartridge_is_a_short_job() {
    let lines = lines(&card(&glasshouse(), &["change:sediment"]));
    let expected = [
        "unplug booster",
        "close inlet_valve",
        "open flush_valve",
        "open_housing sediment",
        "remove sediment",
        "grease seals:sediment",
        "insert sediment",
        "close_housing sediment",
        "open inlet_valve",
        "close flush_valve",
        "plug_in booster",
        "inspect seals:sediment",
        "wait - 10",
        "inspect seals:sediment",
        "read -",
        "record -",
    ];
    assert_eq!(lines, expected);
}

#[test]
fn regress_carbon_is_rinsed_with_its_outlet_off_before_the_membranes_get_water() {
    let lines = lines(&card(&glasshouse(), &["change:carbon"]));
    let expected = [
        "unplug booster",
        "close inlet_valve",
        "open flush_valve",
        "open_housing carbon",
        "remove carbon",
        "grease seals:carbon",
        "insert carbon",
        "close_housing carbon",
        "disconnect tube:carbon>booster",
        "open inlet_valve",
        "rinse_to_drain carbon 10",
        "close inlet_valve",
        "reconnect tube:carbon>booster",
        "open inlet_valve",
        "close flush_valve",
        "plug_in booster",
        "inspect seals:carbon",
        "wait - 10",
        "inspect seals:carbon",
        "read -",
        "record -",
    ];
    assert_eq!(lines, expected);
}

#[test]
fn regress_a_shut_off_worked_by_the_permeate_line_is_relieved_through_a_permeate_tube() {
    // No flush valve, pressurised tank, pressure shut-off: the permeate line first, then two minutes through
    // the restrictor, and the sign to look for.
    let card = card(&cafe(), &["change:sediment"]);
    let expected = [
        "close inlet_valve",
        "close tank_valve",
        "disconnect tube:membranes>taste",
        "wait - 2",
    ];
    assert_eq!(lines(&card)[..4], expected);
    assert!(
        card.steps[2]
            .caution
            .as_deref()
            .is_some_and(|text| text.contains("under pressure"))
    );
    assert!(
        card.steps[3]
            .check
            .as_deref()
            .is_some_and(|text| text.contains("drain line"))
    );
    assert!(card.pressurised_after[3].is_empty());
}

#[test]
fn regress_permeate_shut_in_without_a_way_out_waits_for_the_membrane() {
    // Tank valve closed is all there is: no float, and the tube comes off only where water must not reach the
    // tank. Changing the sediment needs no permeate tube here, for nothing pushes back.
    let mut unit = cafe();
    unit.permeate.shutoff = Shutoff::None;
    let first = lines(&card(&unit, &["change:sediment"]));
    assert_eq!(
        first[..3],
        ["close inlet_valve", "close tank_valve", "wait - 2"],
        "{first:?}"
    );
}

#[test]
fn regress_several_carbons_are_rinsed_one_after_the_other() {
    let mut unit = glasshouse();
    unit.stages.insert(2, stage("carbon-2", carbon()));
    let lines = lines(&card(&unit, &["change:carbon", "change:carbon-2"]));
    let at = |line: &str| {
        lines
            .iter()
            .position(|own| own == line)
            .unwrap_or_else(|| panic!("{line} is missing: {lines:#?}"))
    };
    assert!(at("disconnect tube:carbon>carbon-2") < at("rinse_to_drain carbon 10"));
    assert!(at("rinse_to_drain carbon 10") < at("reconnect tube:carbon>carbon-2"));
    assert!(at("reconnect tube:carbon>carbon-2") < at("disconnect tube:carbon-2>booster"));
    assert!(at("disconnect tube:carbon-2>booster") < at("rinse_to_drain carbon-2 10"));
}

#[test]
fn regress_a_valve_at_a_stage_stands_in_for_the_inlet_valve_behind_it() {
    let mut unit = glasshouse();
    unit.inlet_valve = false;
    unit.stages[1].inlet_valve = true;
    let lines = lines(&card(&unit, &["change:carbon"]));
    assert!(
        lines.contains(&"close carbon.inlet_valve".to_owned()),
        "{lines:?}"
    );
    let refused = job_card(&unit, &work(&["change:sediment"]), &Site::default());
    assert!(
        matches!(refused, Err(CardError::Impossible { missing, .. }) if missing == [Missing::InletValve])
    );
}

#[test]
fn regress_polishing_is_changed_under_a_float_although_the_feed_cannot_be_shut_off() {
    let mut unit = glasshouse();
    unit.inlet_valve = false;
    unit.permeate.polish = vec![polish("resin", unit::PolishKind::MixedBed)];
    let card = card(&unit, &["change:resin"]);
    let lines = lines(&card);
    assert_eq!(
        lines[..3],
        ["unplug booster", "press_float float_valve", "open_housing resin"],
        "{lines:?}"
    );
    assert!(
        card.cautions
            .iter()
            .any(|text| text.contains("cannot be shut off"))
    );
    assert!(
        lines.iter().any(|line| line == "disconnect tube:resin>tank"),
        "{lines:?}"
    );
}

#[test]
fn regress_refusals_name_what_is_missing_and_nothing_else() {
    let refuse = |unit: &Unit, words: &[&str]| match job_card(unit, &work(words), &Site::default()) {
        Err(CardError::Impossible { sentence, .. }) => sentence,
        other => panic!("{other:?}"),
    };
    let mut unit = cafe();
    unit.permeate.tank = Some(pressurised_tank(false));
    let tank = refuse(&unit, &["change:membrane"]);
    assert!(
        tank.contains("tank valve") && !tank.contains("inlet valve"),
        "{tank}"
    );
    unit.inlet_valve = false;
    let both = refuse(&unit, &["change:membrane"]);
    assert!(
        both.contains("tank valve") && both.contains("inlet valve"),
        "{both}"
    );
    let mut unit = glasshouse();
    unit.inlet_valve = false;
    let inlet = refuse(&unit, &["change:sediment"]);
    assert!(
        inlet.contains("inlet valve") && !inlet.contains("tank valve"),
        "{inlet}"
    );
}

#[test]
fn regress_work_that_cannot_be_meant_lists_every_fault() {
    let refuse = |words: &[Work]| match job_card(&glasshouse(), words, &Site::default()) {
        Err(CardError::Input(faults)) => faults.iter().map(ToString::to_string).collect::<Vec<_>>(),
        other => panic!("{other:?}"),
    };
    assert!(refuse(&[])[0].starts_with("work: read nothing"));
    let faults = refuse(&work(&[
        "change:nothing",
        "change:booster",
        "change:carbon",
        "inspect:carbon",
        "sanitise",
    ]));
    assert_eq!(faults.len(), 4, "{faults:#?}");
    for (fault, path) in faults.iter().zip(["work[0]", "work[1]", "work[3]", "work[4]"]) {
        assert!(fault.starts_with(path), "{fault}");
        assert!(fault.contains("accepted is"), "{fault}");
    }
    let mut unit = glasshouse();
    unit.membranes.elements.clear();
    assert!(matches!(
        job_card(&unit, &work(&["change:carbon"]), &Site::default()),
        Err(CardError::Input(_))
    ));
    let mut unit = glasshouse();
    unit.stages = (0..200).map(|n| stage(&format!("s{n}"), carbon())).collect();
    assert!(matches!(
        job_card(&unit, &work(&["change:s7"]), &Site::default()),
        Err(CardError::Input(_))
    ));
}

#[test]
fn regress_only_a_pleated_cartridge_is_washed_without_a_warning() {
    let mut unit = glasshouse();
    let warning = |unit: &Unit| {
        let card = card(unit, &["wash:sediment"]);
        let wash = card
            .steps
            .iter()
            .find(|step| step.action == Action::Wash)
            .map(|step| step.caution.clone());
        wash.unwrap_or_else(|| panic!("no wash"))
    };
    assert!(warning(&unit).is_some_and(|text| text.contains("brings little back")));
    unit.stages[0].kind = pleated();
    assert!(warning(&unit).is_none());
}

#[test]
fn regress_an_open_line_is_loaded_for_the_leak_check_where_a_valve_allows_it() {
    let mut unit = glasshouse();
    unit.permeate.shutoff = Shutoff::None;
    unit.permeate.tank = Some(unit::Tank {
        valve: true,
        ..open_tank()
    });
    unit.permeate.polish = vec![polish("resin", unit::PolishKind::MixedBed)];
    let card = card(&unit, &["change:resin"]);
    let inspect = card
        .steps
        .iter()
        .position(|step| step.target.as_deref() == Some("seals:resin") && step.phase == Phase::Prove);
    let loaded = inspect.and_then(|index| card.pressurised_after.get(index));
    assert!(
        loaded.is_some_and(|list| list.contains(&"resin".to_owned())),
        "{:#?}",
        lines(&card)
    );
}

#[test]
fn regress_chlorine_goes_in_only_when_membranes_and_carbon_are_out() {
    for unit in [glasshouse(), cafe()] {
        let card = card(&unit, &["sanitise"]);
        let dose = card.steps.iter().position(|step| step.action == Action::Dose);
        let dose = dose.unwrap_or_else(|| panic!("no dose"));
        let removed: Vec<&str> = card.steps[..dose]
            .iter()
            .filter(|step| step.action == Action::Remove)
            .filter_map(|step| step.target.as_deref())
            .collect();
        for element in &unit.membranes.elements {
            assert!(removed.contains(&element.id.as_str()));
        }
        assert!(removed.contains(&"carbon"));
        assert!(card.cautions.iter().any(|text| text.contains("poisonous gas")));
    }
}

#[test]
fn regress_the_text_is_readable_at_arms_length() {
    let site = Site {
        inlet_pressure_kpa: Some(620.0),
        expected: vec![Expected {
            field: "permeate_flow".to_owned(),
            expected: 41.25,
            low: 36.0,
            high: 46.0,
        }],
        ..Site::default()
    };
    let words = [
        "change:sediment",
        "change:carbon",
        "change:membrane-1",
        "change:membrane-2",
    ];
    let card = job_card(&glasshouse(), &work(&words), &site).unwrap_or_else(|error| panic!("{error}"));
    let text = render_text(&card);
    assert!(text.is_ascii());
    assert!(text.lines().all(|line| line.len() <= 78), "{text}");
    assert!(
        !text.contains('{') && !text.contains('}'),
        "a placeholder was not filled in: {text}"
    );
    let order = [
        "BEFORE YOU BEGIN",
        "HAVE AT HAND",
        "CARRY IN",
        "SHUT OFF",
        "PROOF",
    ];
    let places: Vec<_> = order.iter().map(|heading| text.find(heading)).collect();
    assert!(
        places.iter().all(Option::is_some) && places.is_sorted(),
        "{places:?}"
    );
    assert!(text.contains("41.25"));
    assert!(text.contains("550 kPa"));
}

#[test]
fn regress_no_card_has_a_placeholder_left() {
    let works: [&[&str]; 9] = [
        &["commission"],
        &["sanitise"],
        &["descale"],
        &["clean"],
        &["lay_up"],
        &[
            "wash:sediment",
            "inspect:carbon",
            "inspect:membrane-1",
            "inspect:resin",
            "inspect:lamp",
        ],
        &["change:regulator", "change:lamp"],
        &["change:membrane-1", "wash:membrane-2"],
        &["change:resin"],
    ];
    let mut unit = glasshouse();
    unit.stages
        .insert(0, stage("regulator", crate::common::regulator()));
    unit.stages
        .insert(1, stage("softener", crate::common::softener()));
    unit.permeate.polish = vec![
        polish("resin", unit::PolishKind::MixedBed),
        polish("lamp", unit::PolishKind::Uv),
    ];
    for words in works {
        let text = render_text(&card(&unit, words));
        assert!(text.is_ascii() && !text.contains('{'), "{text}");
    }
}

#[test]
fn regress_every_caution_of_the_file_is_used_by_some_card() {
    let mut unit = glasshouse();
    unit.stages.insert(0, stage("pleats", pleated()));
    unit.permeate.polish = vec![polish("lamp", unit::PolishKind::Uv)];
    let mut without_flush = cafe();
    without_flush.permeate.shutoff = Shutoff::None;
    let mut fed = glasshouse();
    fed.inlet_valve = false;
    fed.permeate.polish = vec![polish("resin", unit::PolishKind::MixedBed)];
    let high = Site {
        inlet_pressure_kpa: Some(700.0),
        ..Site::default()
    };
    let asked: [(&Unit, &[&str], &Site); 10] = [
        (&unit, &["commission"], &Site::default()),
        (&unit, &["sanitise"], &high),
        (&unit, &["descale"], &high),
        (&unit, &["clean"], &high),
        (&unit, &["lay_up"], &high),
        (&unit, &["wash:sediment", "wash:membrane-1"], &high),
        (&unit, &["change:lamp"], &high),
        (&without_flush, &["change:membrane"], &high),
        (&cafe(), &["change:membrane"], &high),
        (&fed, &["change:resin"], &high),
    ];
    let mut said = String::new();
    for (unit, words, site) in asked {
        let card = job_card(unit, &work(words), site).unwrap_or_else(|error| panic!("{words:?}: {error}"));
        said.extend(card.cautions.iter().map(String::as_str));
        said.extend(card.steps.iter().filter_map(|step| step.caution.as_deref()));
    }
    for caution in cautions() {
        assert!(said.contains(&caution.text), "{}", caution.id);
    }
}
