//! Where a pressure is read, given the unit's stages.

use reading::Field;
use unit::{StageKind, Unit};

use crate::Taken;
use crate::classify::Guess;
use crate::heading::Heading;
use crate::target::Target;
use crate::words::Notions;

pub(crate) fn pressure(heading: &Heading, unit: &Unit) -> Option<Guess> {
    use Notions as N;
    let n = heading.notions;
    let has_pump = unit
        .stages
        .iter()
        .any(|stage| matches!(stage.kind, StageKind::Pump { .. }));
    if n.has(N::TANK) {
        return None;
    }
    // The membranes' own side of things.
    if n.has(N::MEMBRANE) && n.has(N::AFTER.with(N::OUT)) || n.has(N::CONCENTRATE) && !n.has(N::PUMP) {
        return Some(Guess::field(Field::ConcentratePressure, 3));
    }
    if n.has(N::MEMBRANE) {
        return Some(Guess::field(Field::MembranePressure, 3));
    }
    if n.has(N::PUMP) {
        return Some(if n.has(N::BEFORE.with(N::IN)) {
            before_pump(unit)
        } else {
            Guess::field(Field::MembranePressure, 3)
        });
    }
    // One of the stages, before or after.
    if n.has(N::SEDIMENT.with(N::CARBON).with(N::SOFTENER)) {
        return at_stage(heading, unit);
    }
    if n.has(N::FILTER) {
        if n.has(N::OUT) || (n.has(N::AFTER) && !n.has(N::IN)) {
            return Some(after_last(unit));
        }
        if n.has(N::BEFORE.with(N::IN)) {
            return Some(Guess::field(Field::InletPressure, 3));
        }
        // The gauge on the filters: behind them where another column is the inlet's.
        let after = after_last(unit).target;
        return Some(
            Guess::field(Field::InletPressure, 1)
                .or(after)
                .assuming(Taken::BeforeFilters),
        );
    }
    if n.has(N::RO) && n.has(N::AFTER.with(N::OUT)) {
        return None;
    }
    if n.has(N::LINE) || n.has(N::IN.with(N::BEFORE)) && !n.has(N::RO) {
        return Some(Guess::field(Field::InletPressure, 3));
    }
    if n.has(N::PERMEATE) {
        return Some(Guess::field(Field::PermeatePressure, 3));
    }
    if n.has(N::FEED) && !n.has(N::RO) {
        // Beside a column for the line, the "feed" is the membranes'.
        return Some(Guess::field(Field::InletPressure, 2).or(Target::Field(Field::MembranePressure)));
    }
    if n.has(N::RO.with(N::WORKING).with(N::FEED)) {
        return Some(Guess::field(Field::MembranePressure, 2));
    }
    if n.has(N::AFTER) {
        return Some(Guess {
            strength: 2,
            ..after_last(unit)
        });
    }
    if n.has(N::OUT) {
        return None;
    }
    Some(if has_pump {
        Guess::field(Field::MembranePressure, 1).assuming(Taken::PressureOfMembranes)
    } else {
        Guess::field(Field::InletPressure, 1)
            .or(Target::Field(Field::MembranePressure))
            .assuming(Taken::PressureOfInlet)
    })
}

/// The pressure after the last stage that is no pump: the membranes' own where no pump follows.
pub(crate) fn after_last(unit: &Unit) -> Guess {
    let last = unit.stages.iter().rposition(|stage| is_filter(&stage.kind));
    match last {
        Some(index) => after_stage(unit, index, true),
        None => Guess::field(Field::MembranePressure, 3),
    }
}

pub(crate) fn is_filter(kind: &StageKind) -> bool {
    !matches!(
        kind,
        StageKind::Pump { .. } | StageKind::Antiscalant | StageKind::Regulator { .. }
    )
}

/// Pressure after the stage of this index. Where nothing that changes it follows, it is the membranes', unless
/// another column says that itself.
pub(crate) fn after_stage(unit: &Unit, index: usize, any_filter: bool) -> Guess {
    let Some(stage) = unit.stages.get(index) else {
        return Guess::field(Field::MembranePressure, 1);
    };
    let after = Target::PressureAfter(stage.id.clone());
    let open = unit
        .stages
        .iter()
        .skip(index + 1)
        .all(|later| matches!(later.kind, StageKind::Antiscalant));
    if open {
        let guess = Guess::field(Field::MembranePressure, 2).or(after);
        return if any_filter {
            guess
        } else {
            guess.assuming(Taken::LastIsMembranes)
        };
    }
    Guess::new(after, 3)
}

pub(crate) fn before_pump(unit: &Unit) -> Guess {
    let pump = unit
        .stages
        .iter()
        .position(|stage| matches!(stage.kind, StageKind::Pump { .. }));
    match pump.and_then(|pump| pump.checked_sub(1)) {
        Some(index) => match unit.stages.get(index) {
            Some(stage) => Guess::new(Target::PressureAfter(stage.id.clone()), 3),
            None => Guess::field(Field::InletPressure, 2),
        },
        None => Guess::field(Field::InletPressure, 2),
    }
}

/// The stages of the kind that a heading names; its number picks one of several.
pub(crate) fn stage_index(heading: &Heading, unit: &Unit) -> Option<usize> {
    use Notions as N;
    let n = heading.notions;
    let fits = |kind: &StageKind| match kind {
        StageKind::Sediment { .. } => n.has(N::SEDIMENT),
        StageKind::Carbon { .. } => n.has(N::CARBON),
        StageKind::Softener { .. } => n.has(N::SOFTENER),
        _ => false,
    };
    let matching: Vec<usize> = unit
        .stages
        .iter()
        .enumerate()
        .filter(|(_, stage)| fits(&stage.kind))
        .map(|(index, _)| index)
        .collect();
    match heading.number {
        Some(number) if matching.len() > 1 => matching.get(number.checked_sub(1)?).copied(),
        _ => matching.last().copied(),
    }
}

pub(crate) fn at_stage(heading: &Heading, unit: &Unit) -> Option<Guess> {
    use Notions as N;
    let n = heading.notions;
    let index = stage_index(heading, unit)?;
    if n.has(N::BEFORE) || (n.has(N::IN) && !n.has(N::AFTER.with(N::OUT))) {
        return Some(
            match index.checked_sub(1).and_then(|before| unit.stages.get(before)) {
                Some(before) => Guess::new(Target::PressureAfter(before.id.clone()), 3),
                None => Guess::field(Field::InletPressure, 3),
            },
        );
    }
    Some(after_stage(unit, index, false))
}
