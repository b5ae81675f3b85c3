//! The `unit` table of a document.

use std::collections::BTreeMap;

use jiff::civil::Date;
use quantity::Kind;
use unit::{
    Arrangement, CapacityOf, CarbonCapacity, CarbonMedia, CleanDrop, Concentrate, Element, ElementSize,
    Instruments, Limits, Membranes, Meter, MeterScale, Need, Permeate, Polish, PolishKind, Rating,
    Restrictor, RestrictorKind, SedimentMedia, Shutoff, Stage, StageKind, StageLimit, Tank, TankKind, Unit,
};

use crate::{Accepted, Range, Table};

const FLOW: Range = Range::above_zero(1e6);
const PRESSURE: Range = Range::above_zero(20_000.0);
const DAYS: Range = Range::above_zero(36_525.0);
const VOLUME: Range = Range::above_zero(1e9);

/// Reads a `unit` table. Ids have to be unique, and there have to be one to eight elements.
pub fn unit_plan(table: Table<'_>) -> Option<Unit> {
    let id = table.required_text("id");
    let name = table.text("name").or(id).unwrap_or_default().to_owned();
    let commissioned = date(&table, "commissioned");
    let time_zone = table.text("time_zone").unwrap_or("UTC").to_owned();
    if jiff::tz::db().get(&time_zone).is_err() {
        let read = format!("{time_zone:?}");
        table
            .faults()
            .add(&table.path("time_zone"), read, Accepted::TimeZone);
    }
    let inlet_valve = table.table("inlet").is_none_or(|inlet| {
        let valve = inlet.flag("valve").unwrap_or(true);
        inlet.finish();
        valve
    });
    let stages: Vec<_> = table.tables("stages").into_iter().map(stage).collect();
    let membranes = table
        .required_table("membranes", "a table with `elements`")
        .and_then(membranes);
    let concentrate = table
        .required_table("concentrate", "a table with `restrictor`")
        .and_then(concentrate);
    let permeate = table.table("permeate").map_or_else(
        || {
            Some(Permeate {
                check_valve: false,
                shutoff: Shutoff::None,
                tank: None,
                lift_m: 0.0,
                polish: Vec::new(),
            })
        },
        permeate,
    );
    let need = table.table("need").map_or_else(Need::default, need);
    let use_permeate_l_d = table.table("use").and_then(|used| {
        let litres = used.quantity("permeate_per_day", Kind::Volume, Range::closed(0.0, 1e9));
        used.finish();
        litres
    });
    let instruments = table
        .table("instruments")
        .map_or_else(Instruments::default, instruments);
    let limits = table.table("limits").map_or_else(Limits::default, limits);
    let faults = table.faults();
    let path = table.path("stages");
    table.finish();
    let unit = Unit {
        id: id?.to_owned(),
        name,
        commissioned,
        time_zone,
        inlet_valve,
        stages: stages.into_iter().collect::<Option<_>>()?,
        membranes: membranes?,
        concentrate: concentrate?,
        permeate: permeate?,
        need,
        use_permeate_l_d,
        instruments,
        limits,
    };
    let mut seen = std::collections::BTreeSet::new();
    for id in unit.part_ids() {
        if !seen.insert(id) {
            faults.add(&path, format!("id {id:?} twice"), Accepted::UniqueIds);
        }
    }
    Some(unit)
}

/// A date, or a time whose date counts.
fn date(table: &Table<'_>, name: &'static str) -> Option<Date> {
    let text = table.text(name)?;
    let day = text.get(..10).unwrap_or(text);
    let date = day.parse::<Date>().ok();
    if date.is_none() {
        table
            .faults()
            .add(&table.path(name), format!("{text:?}"), Accepted::Date);
    }
    date
}

fn stage(table: Table<'_>) -> Option<Stage> {
    #[derive(Clone, Copy)]
    enum Word {
        Sediment,
        Carbon,
        Softener,
        Antiscalant,
        Pump,
        Regulator,
        Other,
    }
    let id = table.required_text("id");
    let word = table.required_choice(
        "kind",
        &[
            ("sediment", Word::Sediment),
            ("carbon", Word::Carbon),
            ("softener", Word::Softener),
            ("antiscalant", Word::Antiscalant),
            ("pump", Word::Pump),
            ("regulator", Word::Regulator),
            ("other", Word::Other),
        ],
    );
    let clean_drop = table.table("clean_drop").and_then(|drop| {
        let pressure_kpa = drop.required_quantity("pressure", Kind::Pressure, Range::closed(0.0, 5_000.0));
        let flow_l_h = drop.required_quantity("flow", Kind::Flow, FLOW);
        drop.finish();
        Some(CleanDrop {
            pressure_kpa: pressure_kpa?,
            flow_l_h: flow_l_h?,
        })
    });
    let inlet_valve = table.flag("inlet_valve").unwrap_or(false);
    let limit = table.table("limit").map_or_else(StageLimit::default, |limit| {
        let read = StageLimit {
            pressure_drop_kpa: limit.quantity("pressure_drop", Kind::Pressure, PRESSURE),
            age_d: limit.quantity("age", Kind::Duration, DAYS),
            free_chlorine_out_mg_l: limit.quantity(
                "free_chlorine_out",
                Kind::Concentration,
                Range::closed(0.0, 100.0),
            ),
        };
        limit.finish();
        read
    });
    let kind = match word {
        Some(Word::Sediment) => {
            let media = table.choice(
                "media",
                &[("spun", SedimentMedia::Spun), ("pleated", SedimentMedia::Pleated)],
            );
            Some(StageKind::Sediment {
                media: media.unwrap_or(SedimentMedia::Spun),
            })
        }
        Some(Word::Carbon) => Some(carbon(&table)),
        Some(Word::Softener) => Some(StageKind::Softener {
            capacity_eq: table.quantity("capacity", Kind::ExchangeCapacity, Range::above_zero(1e6)),
            hardness_out_mg_l_caco3: table.quantity(
                "hardness_out",
                Kind::AsCaco3,
                Range::closed(0.0, 10_000.0),
            ),
        }),
        Some(Word::Antiscalant) => Some(StageKind::Antiscalant),
        Some(Word::Pump) => {
            let open_flow_l_h = table.required_quantity("open_flow", Kind::Flow, FLOW);
            let shutoff_kpa = table.required_quantity("shutoff_pressure", Kind::Pressure, PRESSURE);
            open_flow_l_h
                .zip(shutoff_kpa)
                .map(|(open_flow_l_h, shutoff_kpa)| StageKind::Pump {
                    open_flow_l_h,
                    shutoff_kpa,
                })
        }
        Some(Word::Regulator) => table
            .required_quantity("set_pressure", Kind::Pressure, PRESSURE)
            .map(|set_kpa| StageKind::Regulator { set_kpa }),
        Some(Word::Other) => Some(StageKind::Other),
        None => None,
    };
    if word.is_some() {
        table.finish();
    }
    Some(Stage {
        id: id?.to_owned(),
        kind: kind?,
        clean_drop,
        inlet_valve,
        limit,
    })
}

fn carbon(table: &Table<'_>) -> StageKind {
    let media = table.choice(
        "media",
        &[
            ("activated", CarbonMedia::Activated),
            ("catalytic", CarbonMedia::Catalytic),
        ],
    );
    let capacity = table.table("capacity").and_then(|capacity| {
        let volume_l = capacity.required_quantity("volume", Kind::Volume, VOLUME);
        let of = capacity.required_choice(
            "of",
            &[("feed", CapacityOf::Feed), ("permeate", CapacityOf::Permeate)],
        );
        let recovery = capacity.quantity("recovery", Kind::Fraction, Range::above_zero(0.95));
        let oxidant_mg_l = capacity.quantity("oxidant", Kind::Concentration, Range::above_zero(100.0));
        capacity.finish();
        Some(CarbonCapacity {
            volume_l: volume_l?,
            of: of?,
            recovery,
            oxidant_mg_l,
        })
    });
    StageKind::Carbon {
        media: media.unwrap_or(CarbonMedia::Activated),
        bed_volume_l: table.quantity("bed_volume", Kind::Volume, Range::above_zero(1e5)),
        capacity,
        rinse_l: table.quantity("rinse", Kind::Volume, Range::closed(0.0, 1e5)),
    }
}

fn membranes(table: Table<'_>) -> Option<Membranes> {
    let temperature_coefficient =
        table.quantity("temperature_coefficient", Kind::Number, Range::closed(1.0, 1.1));
    let arrangement = table.choice(
        "arrangement",
        &[
            ("series", Arrangement::Series),
            ("parallel", Arrangement::Parallel),
        ],
    );
    let tables = table.tables("elements");
    if !(1..=8).contains(&tables.len()) {
        let read = format!("{} elements", tables.len());
        table
            .faults()
            .add(&table.path("elements"), read, Accepted::Elements);
    }
    let elements: Vec<_> = tables.into_iter().map(element).collect();
    table.finish();
    Some(Membranes {
        temperature_coefficient,
        arrangement: arrangement.unwrap_or(Arrangement::Series),
        elements: elements.into_iter().collect::<Option<_>>()?,
    })
}

/// Reads one membrane element; also what a changed one is changed to.
pub(crate) fn element(table: Table<'_>) -> Option<Element> {
    let id = table.required_text("id");
    let sizes = ElementSize::ALL.map(|size| (size.code(), size));
    let size = table.required_choice("size", &sizes);
    let area_m2 = table.quantity("area", Kind::Area, Range::above_zero(100.0));
    let rated = table.required_table(
        "rated",
        "a table with flow, rejection, pressure, temperature and tds",
    );
    let rated = rated.and_then(rating);
    table.finish();
    Some(Element {
        id: id?.to_owned(),
        size: size?,
        area_m2,
        rated: rated?,
    })
}

/// Reads an element's label.
pub(crate) fn rating(rated: Table<'_>) -> Option<Rating> {
    let rejection_range = Range::closed(0.01, 0.99999);
    let flow_l_h = rated.required_quantity("flow", Kind::Flow, FLOW);
    let rejection = rated.required_quantity("rejection", Kind::Fraction, rejection_range);
    let pressure_kpa = rated.required_quantity("pressure", Kind::Pressure, PRESSURE);
    let temperature_c = rated.quantity("temperature", Kind::Temperature, Range::closed(1.0, 50.0));
    let tds_mg_l = rated.required_quantity("tds", Kind::Concentration, Range::closed(0.0, 50_000.0));
    let recovery = rated.quantity("recovery", Kind::Fraction, Range::above_zero(0.9));
    rated.finish();
    Some(Rating {
        flow_l_h: flow_l_h?,
        rejection: rejection?,
        pressure_kpa: pressure_kpa?,
        temperature_c: temperature_c.unwrap_or(25.0),
        tds_mg_l: tds_mg_l?,
        recovery: recovery.unwrap_or(0.15),
    })
}

fn concentrate(table: Table<'_>) -> Option<Concentrate> {
    let flush_valve = table.flag("flush_valve").unwrap_or(false);
    let restrictor = table.required_table("restrictor", "a table with flow and at");
    let restrictor = restrictor.and_then(|restrictor| {
        let flow_l_h = restrictor.required_quantity("flow", Kind::Flow, FLOW);
        let at_kpa = restrictor.required_quantity("at", Kind::Pressure, PRESSURE);
        let kind = restrictor.choice(
            "kind",
            &[
                ("capillary", RestrictorKind::Capillary),
                ("orifice", RestrictorKind::Orifice),
            ],
        );
        let exponent = restrictor.quantity("exponent", Kind::Number, Range::closed(0.3, 1.0));
        restrictor.finish();
        Some(Restrictor {
            flow_l_h: flow_l_h?,
            at_kpa: at_kpa?,
            kind: kind.unwrap_or(RestrictorKind::Capillary),
            exponent,
        })
    });
    table.finish();
    Some(Concentrate {
        restrictor: restrictor?,
        flush_valve,
    })
}

fn permeate(table: Table<'_>) -> Option<Permeate> {
    let check_valve = table.flag("check_valve").unwrap_or(false);
    let shutoff = table.choice(
        "shutoff",
        &[
            ("float", Shutoff::Float),
            ("pressure", Shutoff::Pressure),
            ("none", Shutoff::None),
        ],
    );
    let tank = table.table("tank").and_then(|tank| {
        let pressurised = tank.required_choice("kind", &[("open", false), ("pressurised", true)]);
        let volume_l = tank.quantity("volume", Kind::Volume, VOLUME);
        let valve = tank.flag("valve");
        let kind = match pressurised {
            Some(true) => {
                let precharge = tank.quantity("precharge", Kind::Pressure, Range::closed(0.0, 1_000.0));
                // 7 psi: common practice, no source (check-values 15.10).
                Some(TankKind::Pressurised {
                    precharge_kpa: precharge.unwrap_or(7.0 * 6.894_757_293),
                })
            }
            Some(false) => Some(TankKind::Open),
            None => None,
        };
        tank.finish();
        Some(Tank {
            kind: kind?,
            volume_l,
            valve: valve.unwrap_or(pressurised == Some(true)),
        })
    });
    let lift_m = table
        .quantity("lift", Kind::Length, Range::closed(-50.0, 50.0))
        .unwrap_or(0.0);
    let polish: Vec<_> = table.tables("polish").into_iter().map(polish).collect();
    table.finish();
    Some(Permeate {
        check_valve,
        shutoff: shutoff.unwrap_or(Shutoff::None),
        tank,
        lift_m,
        polish: polish.into_iter().collect::<Option<_>>()?,
    })
}

fn polish(table: Table<'_>) -> Option<Polish> {
    let id = table.required_text("id");
    let kind = table.required_choice(
        "kind",
        &[
            ("mixed_bed", PolishKind::MixedBed),
            ("carbon", PolishKind::Carbon),
            ("remineraliser", PolishKind::Remineraliser),
            ("uv", PolishKind::Uv),
        ],
    );
    let resin_volume_l = table.quantity("resin_volume", Kind::Volume, Range::above_zero(1e5));
    let capacity_eq_l = table.quantity("capacity", Kind::CapacityPerVolume, Range::above_zero(10.0));
    let age_limit_d = table.table("limit").and_then(|limit| {
        let age = limit.quantity("age", Kind::Duration, DAYS);
        limit.finish();
        age
    });
    table.finish();
    Some(Polish {
        id: id?.to_owned(),
        kind: kind?,
        resin_volume_l,
        capacity_eq_l,
        age_limit_d,
    })
}

fn need(table: Table<'_>) -> Need {
    let feed = Range::closed(-2.0, 50.0);
    let need = Need {
        permeate_l_d: table.quantity("permeate_per_day", Kind::Volume, VOLUME),
        permeate_tds_max_mg_l: table.quantity(
            "permeate_tds_max",
            Kind::Concentration,
            Range::above_zero(1e5),
        ),
        coldest_feed_c: table.quantity("coldest_feed", Kind::Temperature, feed),
        warmest_feed_c: table.quantity("warmest_feed", Kind::Temperature, feed),
    };
    if let (Some(coldest), Some(warmest)) = (need.coldest_feed_c, need.warmest_feed_c)
        && coldest > warmest
    {
        let read = format!("{coldest} C, with warmest_feed {warmest} C");
        table
            .faults()
            .add(&table.path("coldest_feed"), read, Accepted::ColderThanWarmest);
    }
    table.finish();
    need
}

fn instruments(table: Table<'_>) -> Instruments {
    let mut read = Instruments::default();
    if let Some(feed) = table.table("feed_meter") {
        read.feed_meter = meter(feed);
    }
    if let Some(permeate) = table.table("permeate_meter") {
        read.permeate_meter = meter(permeate);
    }
    if let Some(gauges) = table.table("gauges") {
        if let Some(error) = gauges.quantity("error", Kind::Pressure, PRESSURE) {
            read.gauge_error_kpa = error;
        }
        read.gauge_full_scale_kpa = gauges.quantity("full_scale", Kind::Pressure, PRESSURE);
        gauges.finish();
    }
    if let Some(thermometer) = table.table("thermometer") {
        if let Some(error) =
            thermometer.quantity("error", Kind::TemperatureDifference, Range::above_zero(10.0))
        {
            read.thermometer_error_c = error;
        }
        thermometer.finish();
    }
    if let Some(bucket) = table.table("bucket") {
        if let Some(error) = bucket.quantity("error", Kind::Fraction, Range::above_zero(0.5)) {
            read.bucket_error = error;
        }
        bucket.finish();
    }
    table.finish();
    read
}

fn meter(table: Table<'_>) -> Meter {
    let mut meter = Meter {
        scale: table.choice(
            "scale",
            &[
                ("conductivity", MeterScale::Conductivity),
                ("NaCl", MeterScale::NaCl),
                ("natural_water", MeterScale::NaturalWater),
            ],
        ),
        factor: table.quantity("factor", Kind::Number, Range::closed(0.3, 1.0)),
        step: table
            .quantity("step", Kind::Number, Range::closed(0.0, 1_000.0))
            .unwrap_or(0.0),
        checked: date(&table, "checked"),
        ..Meter::default()
    };
    if let Some(error) = table.quantity("error", Kind::Fraction, Range::closed(0.001, 0.5)) {
        meter.relative_error = error;
    }
    table.finish();
    meter
}

fn limits(table: Table<'_>) -> Limits {
    let defaults = Limits::default();
    let saturation = table
        .table("saturation")
        .map_or_else(BTreeMap::new, |saturation| {
            saturation
                .quantities_by_name(Kind::Number, Range::closed(-5.0, 5.0))
                .into_iter()
                .collect()
        });
    let rise = Range::above_zero(20.0);
    let limits = Limits {
        permeate_flow_drop: table
            .quantity("permeate_flow_drop", Kind::Fraction, Range::above_zero(0.99))
            .unwrap_or(defaults.permeate_flow_drop),
        salt_passage_rise: table
            .quantity("salt_passage_rise", Kind::Fraction, rise)
            .unwrap_or(defaults.salt_passage_rise),
        pressure_drop_rise: table
            .quantity("pressure_drop_rise", Kind::Fraction, rise)
            .unwrap_or(defaults.pressure_drop_rise),
        saturation,
    };
    table.finish();
    limits
}
