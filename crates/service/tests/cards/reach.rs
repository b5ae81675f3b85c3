//! The safe way to what a test has to get at.

use service::{Action, Reach, Step, safe_way};

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
        let way = safe_way(&unit, &reach).expect("a safe way");
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
        let said = safe_way(&unit, &reach)
            .err()
            .expect("no way without an inlet valve");
        assert!(said.contains("inlet valve"), "{said}");
    }
}
