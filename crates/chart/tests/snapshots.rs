//! Two pictures to the byte, from simulated values: a change of the drawing is seen and looked at.

mod simulated;

use chart::Options;

#[test]
fn regress_two_years_at_desk_width() {
    let all = simulated::histories();
    let (_, picture) = all.iter().find(|(name, _)| *name == "two-years").unwrap();
    insta::assert_snapshot!("two_years_desk", chart::history(picture, &Options::default()));
}

#[test]
fn regress_sweep_at_phone_width() {
    let all = simulated::line_charts();
    let (_, picture) = all.iter().find(|(name, _)| *name == "sweep").unwrap();
    insta::assert_snapshot!(
        "sweep_phone",
        chart::lines(picture, &Options::wide(chart::PHONE_PX))
    );
}
