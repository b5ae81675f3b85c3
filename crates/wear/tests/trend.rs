//! Robust statistics against SciPy.

use wear::robust::{median, theil_sen};

// Source: reference/check-values.md 13.18, `scipy.stats.theilslopes`; 1e-9 is the digits shown there.
#[test]
fn val_theil_sen_line() {
    let y = [10.2, 10.1, 9.9, 10.0, 9.7, 9.8, 9.5, 9.4, 9.6, 9.1, 9.2, 8.9];
    let points: Vec<(f64, f64)> = y.iter().enumerate().map(|(x, y)| (x as f64, *y)).collect();
    let line = theil_sen(&points).expect("a line");
    assert!((line.slope - -0.114285714).abs() < 1e-9, "{}", line.slope);
    assert!((line.intercept - 10.278571429).abs() < 1e-9, "{}", line.intercept);
}

// Source: reference/check-values.md 13.21, with ties.
#[test]
fn val_theil_sen_line_with_ties() {
    let y = [5.0, 5.0, 4.0, 6.0, 7.0, 7.0, 7.0, 8.0, 6.0, 9.0];
    let points: Vec<(f64, f64)> = y.iter().enumerate().map(|(x, y)| (x as f64, *y)).collect();
    let line = theil_sen(&points).expect("a line");
    assert!((line.slope - 0.444444).abs() < 1e-6, "{}", line.slope);
    assert!((line.intercept - 4.5).abs() < 1e-6, "{}", line.intercept);
}

// One wild value moves the line by less than a fiftieth of what it moves a least-squares line.
#[test]
fn a_wild_value_does_not_move_the_line() {
    let mut points: Vec<(f64, f64)> = (0..20)
        .map(|x| (f64::from(x), 10.0 - 0.1 * f64::from(x)))
        .collect();
    points[12].1 = 97.0;
    let line = theil_sen(&points).expect("a line");
    assert!((line.slope - -0.1).abs() < 0.01, "{}", line.slope);
}

#[test]
fn medians_of_nothing_one_and_two() {
    assert_eq!(median(&mut []), None);
    assert_eq!(median(&mut [3.0]), Some(3.0));
    assert_eq!(median(&mut [1.0, 2.0]), Some(1.5));
    assert_eq!(theil_sen(&[(1.0, 1.0), (1.0, 2.0)]), None);
}
