//! Headings as people write them, each beside what a careful reader takes it for. Invented; common practice, no
//! source.

mod common;

use common::{carbon, polish, potting_shed, pump, sediment};
use unit::{PolishKind, Unit};

/// What a heading is read as, beside a date and one element's permeate; `-` where it is not read.
fn field(heading: &str, unit: &Unit) -> String {
    let text = format!("Date;Membrane 1 ppm;{heading}\n2024-03-05;12;7\n2024-03-19;12;8\n2024-04-02;12;9\n");
    match intake::read(text.as_bytes(), &intake::Options::new(unit)) {
        Ok(log) => log
            .columns
            .iter()
            .find(|column| column.heading == heading)
            .map_or_else(
                || "-".to_owned(),
                |column| format!("{} [{}]", column.field(), column.unit),
            ),
        Err(error) => error.to_string(),
    }
}

#[track_caller]
fn check(unit: &Unit, cases: &[(&str, &str)]) {
    let wrong: Vec<String> = cases
        .iter()
        .map(|(heading, expected)| (heading, expected, field(heading, unit)))
        .filter(|(_, expected, got)| got != *expected)
        .map(|(heading, expected, got)| format!("`{heading}`: {got} instead of {expected}"))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn english() {
    check(
        &potting_shed(),
        &[
            ("Water temp (F)", "feed_temperature [F]"),
            ("Water Temp °F", "feed_temperature [F]"),
            ("TempC", "feed_temperature [C]"),
            ("Feed F", "feed_temperature [F]"),
            ("T °C", "feed_temperature [C]"),
            ("Air temp F", "-"),
            ("Inlet psi", "inlet_pressure [psi]"),
            ("Line psi", "inlet_pressure [psi]"),
            ("House PSI", "inlet_pressure [psi]"),
            ("Mains pressure (bar)", "inlet_pressure [bar]"),
            ("Feed pressure, kPa", "inlet_pressure [kPa]"),
            ("PSI in", "inlet_pressure [psi]"),
            ("P1 in (psi)", "inlet_pressure [psi]"),
            ("Before filters psi", "inlet_pressure [psi]"),
            ("Pre-filter PSI", "inlet_pressure [psi]"),
            ("After filters psi", "membrane_pressure [psi]"),
            ("Post-filter PSI", "membrane_pressure [psi]"),
            ("Prefilter out psi", "membrane_pressure [psi]"),
            ("After carbon psi", "membrane_pressure [psi]"),
            ("After sediment psi", "pressure_after.sediment [psi]"),
            ("Before carbon psi", "pressure_after.sediment [psi]"),
            ("Pre-membrane PSI", "membrane_pressure [psi]"),
            ("Membrane psi", "membrane_pressure [psi]"),
            ("RO pressure psi", "membrane_pressure [psi]"),
            ("Operating pressure psi", "membrane_pressure [psi]"),
            ("Reject psi", "concentrate_pressure [psi]"),
            ("Brine PSI", "concentrate_pressure [psi]"),
            ("Post-membrane psi", "concentrate_pressure [psi]"),
            ("Permeate psi", "permeate_pressure [psi]"),
            ("Tank psi", "-"),
            ("dP psi", "-"),
            ("Pressure drop psi", "-"),
            ("Product gpd", "permeate_flow [gpd]"),
            ("Perm. Flow GPD", "permeate_flow [gpd]"),
            ("Permeate (L/min)", "permeate_flow [L/min]"),
            ("Pure ml / min", "permeate_flow [mL/min]"),
            ("RO flow gal per day", "permeate_flow [gpd]"),
            ("GPD", "permeate_flow [gpd]"),
            ("Production L/day", "permeate_flow [L/d]"),
            ("Rej. LPM", "concentrate_flow [L/min]"),
            ("Waste mL/min", "concentrate_flow [mL/min]"),
            ("Concentrate flow [l/h]", "concentrate_flow [L/h]"),
            ("Drain gph", "concentrate_flow [gph]"),
            ("Feed flow gpm", "-"),
            ("500 mL in (sec)", "permeate_flow [500 mL in s]"),
            ("Drain 1 L in (sec)", "concentrate_flow [1 L in s]"),
            ("Seconds per 500 ml", "permeate_flow [500 mL in s]"),
            ("Time to fill 1 L (s)", "permeate_flow [1 L in s]"),
            ("RO 500ml sec", "permeate_flow [500 mL in s]"),
            ("Sec for 1 gal waste", "concentrate_flow [3.7854 L in s]"),
            ("Product mL in 30 s", "permeate_flow [mL in 30 s]"),
            ("Reject ml/30 sec", "concentrate_flow [ml in 30 s]"),
            ("Tap ppm", "feed_conductivity [ppm]"),
            ("RO ppm", "permeate_conductivity [ppm]"),
            ("Feed TDS (ppm)", "feed_conductivity [ppm]"),
            ("TDS in", "feed_conductivity [ppm]"),
            ("TDS out", "permeate_conductivity [ppm]"),
            ("Permeate TDS mg/L", "permeate_tds [mg/L]"),
            ("Feed uS", "feed_conductivity [uS/cm]"),
            ("Permeate µS", "permeate_conductivity [uS/cm]"),
            ("Product uS/cm", "permeate_conductivity [uS/cm]"),
            ("EC in (mS/cm)", "feed_conductivity [mS/cm]"),
            ("EC out µS/cm", "permeate_conductivity [uS/cm]"),
            ("Cond. raw uS/cm", "feed_conductivity [uS/cm]"),
            ("Post RO ppm", "permeate_conductivity [ppm]"),
            ("Before RO ppm", "feed_conductivity [ppm]"),
            ("Reject ppm", "-"),
            ("Membrane 2 ppm", "element_permeate_conductivity.membrane-2 [ppm]"),
            ("Rejection %", "-"),
            ("% recovery", "-"),
            ("Normalised permeate flow L/h", "-"),
            ("pH", "-"),
            ("Feed pH", "-"),
            ("Iron mg/L", "-"),
            ("Cl2 after carbon mg/L", "free_chlorine_out [mg/L]"),
            ("Cl2 out", "free_chlorine_out [mg/L]"),
            ("Free chlorine in ppm", "free_chlorine_out [mg/L]"),
            ("Feed Cl2 ppm", "feed_free_chlorine [mg/L]"),
            ("Total chlorine out (mg/L)", "total_chlorine_out [mg/L]"),
            ("Chlorine before carbon", "feed_free_chlorine [mg/L]"),
            ("Totalizer gal", "permeate_total [gal]"),
            ("Feed meter total m3", "feed_total [m3]"),
            ("Permeate total (L)", "permeate_total [L]"),
            ("Hour meter", "running_hours [h]"),
            ("hours", "running_hours [h]"),
            ("Run hrs", "running_hours [h]"),
            ("Running min", "running_for [min]"),
            ("Run time (min)", "running_for [min]"),
            ("Hardness after softener gpg", "hardness_out [gpg]"),
            ("Notes", "note []"),
            ("Work done", "note []"),
            ("Tech", "by []"),
            ("Initials", "by []"),
            ("Time", "time []"),
            ("Weather", "-"),
            ("Customer", "-"),
        ],
    );
}

#[test]
fn german_spanish_french() {
    check(
        &potting_shed(),
        &[
            ("Temperatur °C", "feed_temperature [C]"),
            ("Wassertemperatur [°C]", "feed_temperature [C]"),
            ("Druck vor (bar)", "inlet_pressure [bar]"),
            ("Vordruck bar", "inlet_pressure [bar]"),
            ("Leitungsdruck in bar", "inlet_pressure [bar]"),
            ("Eingangsdruck (bar)", "inlet_pressure [bar]"),
            ("Druck Membran (bar)", "membrane_pressure [bar]"),
            ("Membrandruck in bar", "membrane_pressure [bar]"),
            ("Betriebsdruck bar", "membrane_pressure [bar]"),
            ("Druck nach Filter bar", "membrane_pressure [bar]"),
            ("Druck nach Sedimentfilter bar", "pressure_after.sediment [bar]"),
            ("Druck Konzentrat (bar)", "concentrate_pressure [bar]"),
            ("Leitfähigkeit Speisewasser µS/cm", "feed_conductivity [uS/cm]"),
            ("Leitwert Rohwasser in µS/cm", "feed_conductivity [uS/cm]"),
            ("Leitungswasser µS", "feed_conductivity [uS/cm]"),
            ("Permeatleitfähigkeit (µS/cm)", "permeate_conductivity [uS/cm]"),
            ("LF Permeat", "permeate_conductivity [uS/cm]"),
            ("Reinwasser ppm", "permeate_conductivity [ppm]"),
            ("Permeat l/h", "permeate_flow [L/h]"),
            ("Permeatleistung [l/Tag]", "permeate_flow [L/d]"),
            ("Permeatmenge ml/min", "permeate_flow [mL/min]"),
            ("Konzentrat l/h", "concentrate_flow [L/h]"),
            ("Abwasser l/min", "concentrate_flow [L/min]"),
            ("500 ml Permeat in s", "permeate_flow [500 mL in s]"),
            ("Sekunden für 1 l Konzentrat", "concentrate_flow [1 L in s]"),
            ("Chlor nach Kohle mg/l", "free_chlorine_out [mg/L]"),
            ("Freies Chlor Eingang mg/l", "feed_free_chlorine [mg/L]"),
            ("Betriebsstunden", "running_hours [h]"),
            ("Zählerstand Permeat (m³)", "permeate_total [m3]"),
            ("Uhrzeit", "time []"),
            ("Bemerkung", "note []"),
            ("Techniker", "by []"),
            ("Temp. agua (°C)", "feed_temperature [C]"),
            ("Temperatura °C", "feed_temperature [C]"),
            ("Presión entrada (kg/cm²)", "inlet_pressure [kg/cm2]"),
            ("Presión de red (bar)", "inlet_pressure [bar]"),
            ("Presión membrana (bar)", "membrane_pressure [bar]"),
            ("Presión de trabajo bar", "membrane_pressure [bar]"),
            ("Presión rechazo bar", "concentrate_pressure [bar]"),
            ("Conductividad entrada µS/cm", "feed_conductivity [uS/cm]"),
            ("C.E. permeado (µS/cm)", "permeate_conductivity [uS/cm]"),
            ("Conductividad agua producto uS", "permeate_conductivity [uS/cm]"),
            ("TDS agua cruda ppm", "feed_conductivity [ppm]"),
            ("Caudal permeado (L/min)", "permeate_flow [L/min]"),
            ("Caudal de rechazo l/h", "concentrate_flow [L/h]"),
            ("Rechazo 1 L en (seg)", "concentrate_flow [1 L in s]"),
            ("Segundos para llenar 500 ml", "permeate_flow [500 mL in s]"),
            ("Cloro libre salida carbón mg/L", "free_chlorine_out [mg/L]"),
            ("Horas", "running_hours [h]"),
            ("Hora", "time []"),
            ("Observaciones", "note []"),
            ("Pression entrée (bar)", "inlet_pressure [bar]"),
            ("Conductivité eau brute (µS/cm)", "feed_conductivity [uS/cm]"),
            ("Débit perméat (L/h)", "permeate_flow [L/h]"),
            ("Débit rejet L/h", "concentrate_flow [L/h]"),
            ("Remarques", "note []"),
        ],
    );
}

#[test]
fn a_pump_and_polishing_change_what_a_place_is() {
    let mut unit = potting_shed();
    unit.stages = vec![
        sediment("sed-5"),
        carbon("carbon-1"),
        carbon("carbon-2"),
        pump("booster"),
    ];
    unit.permeate.polish = vec![polish("resin", PolishKind::MixedBed)];
    check(
        &unit,
        &[
            ("After filters psi", "pressure_after.carbon-2 [psi]"),
            ("Before pump psi", "pressure_after.carbon-2 [psi]"),
            ("Pump psi", "membrane_pressure [psi]"),
            ("After pump psi", "membrane_pressure [psi]"),
            ("After carbon 1 psi", "pressure_after.carbon-1 [psi]"),
            ("Pressure psi", "membrane_pressure [psi]"),
            ("Cl2 after carbon 1 mg/L", "chlorine_after.carbon-1 [mg/L]"),
            ("Cl2 after carbon 2 mg/L", "free_chlorine_out [mg/L]"),
            ("After DI uS", "conductivity_after.resin [uS/cm]"),
            ("Before DI uS", "permeate_conductivity [uS/cm]"),
        ],
    );
}
