//! A solution after the first of its kind allocates nothing: millions of them are asked for.
#![allow(clippy::unwrap_used, reason = "tests stop at the first thing that is wrong")]

mod common;

use common::{hard_water, parse_conditions, parse_unit, practice};
use unit::{IonicFeed, Model, Parameter, Segments, Workspace};

#[test]
fn prop_no_allocation_after_the_first_call() {
    // The counter counts.
    assert_eq!(
        allocation_counter::measure(|| drop(std::hint::black_box(Box::new(1)))).count_total,
        1
    );
    let water = water::Water::complete(&hard_water()).unwrap();
    for (id, input, _) in practice() {
        let unit = parse_unit(&input["unit"]);
        let (setting, state) = parse_conditions(&input);
        let model = Model::new(&unit, Segments::default()).unwrap();
        let mut parameters = model.in_state(&state).unwrap();
        let feed = IonicFeed::new(water.speciation(), setting.temperature_c).unwrap();
        let ions = Model::ionic_setting(&feed, setting.inlet_pressure_kpa, setting.permeate_pressure_kpa);
        let mut workspace = Workspace::new();
        let mut work = |parameters: &unit::Parameters| {
            model.solve(parameters, &setting, &mut workspace).unwrap();
            model.sensitivities(parameters, &setting, &mut workspace).unwrap();
            model
                .solve_ions(parameters, &ions, &feed, &mut workspace)
                .unwrap();
        };
        work(&parameters);
        assert!(parameters.set(Parameter::WaterPermeability(0), -0.12));
        let counted = allocation_counter::measure(|| work(&parameters));
        assert_eq!(counted.count_total, 0, "{id}");
    }
}
