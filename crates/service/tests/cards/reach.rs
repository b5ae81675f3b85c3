//! The safe way to what a test has to get at.

use service::{Action, Language, Reach, Step, safe_way};

use crate::common::glasshouse;

#[test]
fn regress_nothing_is_opened_before_the_sources_are_off() {
    // The order is the contract's (section 7): the pump unplugged and the inlet closed before anything is opened.
    let unit = glasshouse();
    for reach in [
        Reach::Housing("sediment".to_owned()),
        Reach::Restrictor,
        Reach::PermeateLine,
        Reach::ElementPermeate,
    ] {
        let way = safe_way(&unit, &reach, Language::English).expect("a safe way");
        let at = |is: &dyn Fn(&Step) -> bool| way.steps.iter().position(is);
        let unplugged = at(&|step| step.action == Action::Unplug).expect("the pump is unplugged");
        let closed =
            at(&|step| step.action == Action::Close && step.target.as_deref() == Some("inlet_valve"))
                .expect("the inlet is closed");
        let opened = at(&|step| matches!(step.action, Action::Disconnect | Action::OpenHousing))
            .unwrap_or(way.steps.len());
        assert!(unplugged < opened && closed < opened, "{reach:?}");
        if matches!(reach, Reach::PermeateLine | Reach::ElementPermeate) {
            assert!(opened < way.steps.len(), "the line is taken off");
        }
    }
}

#[test]
fn regress_no_safe_way_is_said() {
    let mut unit = glasshouse();
    unit.inlet_valve = false;
    for reach in [Reach::Housing("sediment".to_owned()), Reach::Restrictor] {
        let said = safe_way(&unit, &reach, Language::English).expect_err("no way without an inlet valve");
        assert!(said.contains("inlet valve"), "{said}");
    }
}

#[test]
fn regress_the_way_is_the_same_in_german_and_says_so_in_german() {
    let unit = glasshouse();
    for reach in [
        Reach::Housing("sediment".to_owned()),
        Reach::Restrictor,
        Reach::PermeateLine,
        Reach::ElementPermeate,
    ] {
        let [english, german] = [Language::English, Language::German]
            .map(|language| safe_way(&unit, &reach, language).expect("a safe way"));
        let done = |step: &Step| (step.action, step.target.clone(), step.minutes);
        let of = |steps: &[Step]| steps.iter().map(done).collect::<Vec<_>>();
        assert_eq!(of(&english.steps), of(&german.steps), "{reach:?}");
        for (here, there) in english.steps.iter().zip(&german.steps) {
            assert_ne!(here.text, there.text, "{reach:?}");
            assert_eq!(here.caution.is_some(), there.caution.is_some(), "{reach:?}");
        }
        assert_ne!(english.then, german.then, "{reach:?}");
    }
}
