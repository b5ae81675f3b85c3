//! Remarks, each beside what a careful reader says was done. Invented; common practice, no source.

mod common;

use common::{carbon, polish, potting_shed, salt_barn, sediment};
use unit::{PolishKind, Unit};

/// `changed sediment, changed carbon`; empty where nothing plainly was done.
fn done(remark: &str, unit: &Unit) -> String {
    let text = format!("Date\tInlet psi\tTap ppm\tRO ppm\tNotes\n2024-03-05\t58\t287\t12\t{remark}\n");
    match intake::read(text.as_bytes(), &intake::Options::new(unit)) {
        Ok(log) => log
            .events
            .iter()
            .map(|event| format!("{} {}", event.kind.name(), event.part.as_deref().unwrap_or("-")))
            .collect::<Vec<_>>()
            .join(", "),
        Err(error) => error.to_string(),
    }
}

#[track_caller]
fn check(unit: &Unit, cases: &[(&str, &str)]) {
    let wrong: Vec<String> = cases
        .iter()
        .map(|(remark, expected)| (remark, expected, done(remark, unit)))
        .filter(|(_, expected, got)| got != *expected)
        .map(|(remark, expected, got)| format!("`{remark}`: `{got}` instead of `{expected}`"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

const BOTH: &str = "changed sediment, changed carbon";
const MEMBRANES: &str = "changed membrane-1, changed membrane-2";

#[test]
fn what_was_plainly_done() {
    check(
        &potting_shed(),
        &[
            ("changed sediment filter", "changed sediment"),
            ("Changed sed filter.", "changed sediment"),
            ("sediment filter replaced", "changed sediment"),
            ("new sediment filter", "changed sediment"),
            ("fitted new carbon block", "changed carbon"),
            ("new membranes", MEMBRANES),
            ("membranes replaced today", MEMBRANES),
            ("both membranes changed", MEMBRANES),
            ("replaced all filters", BOTH),
            ("changed filters", BOTH),
            ("changed pre-filter & carbon", BOTH),
            ("changed sediment and carbon filters", BOTH),
            (
                "changed sediment, carbon and membranes",
                &format!("{BOTH}, {MEMBRANES}"),
            ),
            ("sediment + carbon replaced", BOTH),
            ("filter change", BOTH),
            ("sediment filter change, all ok", "changed sediment"),
            ("changed membrane 2", "changed membrane-2"),
            ("2nd membrane replaced", "changed membrane-2"),
            ("membrane no. 1 replaced", "changed membrane-1"),
            ("membrane-2 renewed", "changed membrane-2"),
            ("washed pre-filter", "cleaned sediment"),
            ("cleaned sediment filter; pressure better", "cleaned sediment"),
            ("flushed membranes 30 min", "rinsed membrane-1, rinsed membrane-2"),
            (
                "changed carbon and rinsed membranes",
                "changed carbon, rinsed membrane-1, rinsed membrane-2",
            ),
            (
                "sediment changed, membranes flushed",
                "changed sediment, rinsed membrane-1, rinsed membrane-2",
            ),
            ("changed sediment filter because it was brown", "changed sediment"),
            ("Sedimentfilter gewechselt", "changed sediment"),
            ("Vorfilter und Aktivkohle gewechselt", BOTH),
            ("neuer Kohlefilter", "changed carbon"),
            ("neue Membranen eingebaut", MEMBRANES),
            ("Membranwechsel", MEMBRANES),
            ("Sedimentfilterwechsel", "changed sediment"),
            ("Membranen gespült", "rinsed membrane-1, rinsed membrane-2"),
            ("Vorfilter gereinigt", "cleaned sediment"),
            ("Membran 1+2 getauscht", MEMBRANES),
            ("se cambió el filtro de sedimentos", "changed sediment"),
            ("Cambiado filtro de carbón", "changed carbon"),
            ("cambio de filtros", BOTH),
            ("cambio de membranas", MEMBRANES),
            ("membranas nuevas", MEMBRANES),
            ("filtro de sedimentos nuevo", "changed sediment"),
            ("limpieza de membranas", "cleaned membrane-1, cleaned membrane-2"),
            ("se lavó el prefiltro", "cleaned sediment"),
            ("filtre à sédiments changé", "changed sediment"),
            ("membranes remplacées", MEMBRANES),
        ],
    );
}

#[test]
fn what_was_not() {
    let unit = potting_shed();
    for remark in [
        "new unit",
        "unit new, membranes as fitted by the maker",
        "not changed",
        "sediment filter not changed",
        "membranes not changed yet",
        "carbon unchanged",
        "change sediment filter next time",
        "should change carbon",
        "customer asks to change membranes",
        "customer asked for new membranes",
        "sediment filter to be changed",
        "needs new sediment filter",
        "carbon filter due",
        "membrane change due in May",
        "will replace carbon next visit",
        "better since new membranes",
        "flow up after membranes were changed",
        "didn't change the sediment filter",
        "no new filters today",
        "sediment changed?",
        "customer says carbon was changed",
        "ordered new membranes",
        "changed o-ring on carbon housing",
        "new sediment housing",
        "changed battery of meter",
        "new customer, carbon fine",
        "changed tank float valve",
        "carbon filter changed last month",
        "membranes like new",
        "away two weeks",
        "Membranen noch nicht getauscht",
        "Sedimentfilter nächstes Mal wechseln",
        "Kohlefilter sollte gewechselt werden",
        "Kunde möchte neue Membranen",
        "Filterwechsel fällig",
        "Dichtung am Kohlefiltergehäuse gewechselt",
        "seit Membranwechsel besser",
        "pendiente cambiar carbón",
        "no se cambió el filtro de sedimentos",
        "hay que cambiar las membranas",
        "el cliente pide membranas nuevas",
        "falta cambio de membranas",
        "changer le filtre la prochaine fois",
        "",
    ] {
        assert_eq!(done(remark, &unit), "", "{remark}");
    }
}

#[test]
fn which_of_several_must_be_said() {
    let mut unit = salt_barn();
    unit.stages = vec![sediment("sediment"), carbon("carbon-1"), carbon("carbon-2")];
    unit.permeate.polish = vec![polish("resin", PolishKind::MixedBed)];
    check(
        &unit,
        &[
            ("new membrane", ""),
            ("changed carbon", ""),
            ("changed carbon 2", "changed carbon-2"),
            ("both carbons changed", "changed carbon-1, changed carbon-2"),
            ("all carbon filters changed", "changed carbon-1, changed carbon-2"),
            (
                "membranes 1 and 3 replaced",
                "changed membrane-1, changed membrane-3",
            ),
            ("2 membranes replaced", ""),
            (
                "4 membranes replaced",
                "changed membrane-1, changed membrane-2, changed membrane-3, changed membrane-4",
            ),
            ("new DI resin", "changed resin"),
            ("carbon-1 changed", "changed carbon-1"),
        ],
    );
    let text = "Date,Inlet psi,Tap ppm,RO ppm,Notes\n2024-03-05,58,287,12,new membrane\n";
    let log = common::read(text, &unit);
    assert!(
        log.cell_notes
            .iter()
            .any(|note| note.line == 2 && note.reason.to_string().contains("which of")),
        "{:?}",
        log.cell_notes
    );
}
