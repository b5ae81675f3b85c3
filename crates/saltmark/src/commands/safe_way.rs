//! How to get safely at what a test has to open: the steps of a proved job card, as far as the test needs them.

use fault::interview::Opens;
use service::{Action, Phase, Site, Step, Work, job_card};
use unit::Unit;

/// The steps before something may be opened, and what comes after them.
pub(crate) struct SafeWay {
    /// In order.
    pub(crate) steps: Vec<Step>,
    /// What to do at their end, and how to go back.
    pub(crate) then: &'static str,
}

/// The safe way to what is opened, or in words why there is none.
pub(crate) fn safe_way(unit: &Unit, opens: &Opens) -> Result<SafeWay, String> {
    let inspect = |part: &str| {
        let work = [Work::Inspect {
            part: part.to_owned(),
        }];
        job_card(unit, &work, &Site::default()).map_err(|error| error.to_string())
    };
    if let Opens::Housing(part) = opens {
        return Ok(SafeWay {
            steps: inspect(part)?.steps,
            then: "Look at it when it is out, and answer when the card is done.",
        });
    }
    // The card for the last element isolates and relieves both sides of the membranes; its first part is what is needed.
    let last = unit.membranes.elements.last().ok_or("the unit has no element")?;
    let card = inspect(&last.id)?;
    let line_off = |step: &Step| {
        step.action == Action::Disconnect
            && step
                .target
                .as_deref()
                .is_some_and(|target| target.starts_with("tube:membranes>"))
    };
    let relieved = card
        .steps
        .iter()
        .take_while(|step| matches!(step.phase, Phase::Isolate | Phase::Relieve))
        .count();
    let with_line_off = || {
        let off = card.steps.iter().position(line_off);
        off.map_or(relieved, |at| at + 1).max(relieved)
    };
    let (count, segment, then) = match opens {
        Opens::PermeateLine => (
            with_line_off(),
            "membranes>",
            "Leave the permeate line off and lead it into a bucket. Undo the other steps in the opposite order, the inlet \
             slowly, and let it run. Afterwards go through the steps again, put the line back, and look at every joint under \
             pressure and again ten minutes later. Nobody drinks this water.",
        ),
        Opens::ElementPermeate(_) => (
            with_line_off(),
            "membranes>",
            "Where there is a place to sample it none of this is needed. Else take this element's permeate tube off where \
             the tubes join, lead it into a bucket, undo the other steps in the opposite order, the inlet slowly, and let it \
             run a few minutes before it is measured. Afterwards go through the steps again, put all tubes back, and look at \
             every joint under pressure and again ten minutes later. Nobody drinks this water.",
        ),
        Opens::Restrictor | Opens::Housing(_) => (
            relieved,
            "restrictor",
            "Only now take the restrictor out. Put it back before any water runs, undo the steps in the opposite order, the \
             inlet slowly, and look at every joint under pressure and again ten minutes later.",
        ),
    };
    let still = count
        .checked_sub(1)
        .and_then(|at| card.pressurised_after.get(at))
        .is_none_or(|segments| segments.iter().any(|one| one.contains(segment)));
    if still {
        return Err("no order of steps takes the pressure off it for certain".to_owned());
    }
    Ok(SafeWay {
        steps: card.steps.into_iter().take(count).collect(),
        then,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use casefile::{Document, Faults, Table};
    use serde_json::json;

    fn unit(inlet_valve: bool) -> Unit {
        let described = json!({"unit": {
            "id": "north",
            "inlet": {"valve": inlet_valve},
            "stages": [
                {"id": "sediment", "kind": "sediment", "media": "pleated"},
                {"id": "booster", "kind": "pump", "open_flow": "4 L/min", "shutoff_pressure": "55 psi"}
            ],
            "membranes": {"elements": [{"id": "membrane-1", "size": "2012",
                "rated": {"flow": 28, "rejection": 0.97, "pressure": 448, "temperature": 25, "tds": 500}}]},
            "concentrate": {"restrictor": {"flow": 54, "at": 414}, "flush_valve": true},
            "permeate": {"check_valve": true, "shutoff": "float", "tank": {"kind": "open", "volume": 400}}
        }});
        let document = Document::read("unit.json", described.to_string().as_bytes()).expect("JSON");
        let faults = Faults::new();
        let top = Table::new(&document.tree, "", &faults);
        let unit = top.table("unit").and_then(casefile::unit_plan);
        faults.settle("unit.json", unit).expect("a unit")
    }

    #[test]
    fn regress_nothing_is_opened_before_the_sources_are_off() {
        // The order is the contract's (section 7): the pump unplugged and the inlet closed before anything is opened.
        let unit = unit(true);
        for opens in [
            Opens::Housing("sediment".to_owned()),
            Opens::Restrictor,
            Opens::PermeateLine,
            Opens::ElementPermeate("membrane-1".to_owned()),
        ] {
            let way = safe_way(&unit, &opens).expect("a safe way");
            let at = |is: &dyn Fn(&Step) -> bool| way.steps.iter().position(is);
            let unplugged = at(&|step| step.action == Action::Unplug).expect("the pump is unplugged");
            let closed =
                at(&|step| step.action == Action::Close && step.target.as_deref() == Some("inlet_valve"))
                    .expect("the inlet is closed");
            let opened = at(&|step| matches!(step.action, Action::Disconnect | Action::OpenHousing))
                .unwrap_or(way.steps.len());
            assert!(unplugged < opened && closed < opened, "{opens:?}");
            if matches!(opens, Opens::PermeateLine | Opens::ElementPermeate(_)) {
                assert!(opened < way.steps.len(), "the line is taken off");
            }
        }
    }

    #[test]
    fn regress_no_safe_way_is_said() {
        for opens in [Opens::Housing("sediment".to_owned()), Opens::Restrictor] {
            let said = safe_way(&unit(false), &opens)
                .err()
                .expect("no way without an inlet valve");
            assert!(said.contains("inlet valve"), "{said}");
        }
    }
}
