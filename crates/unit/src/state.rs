//! What wear has done so far, as `conditions.state` says it.

use std::collections::BTreeMap;

/// Factors against new, by part; a part that is not named is as new.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// Factor on water permeability, by element.
    pub permeability: BTreeMap<String, f64>,
    /// Factor on salt permeability, by element.
    pub salt_permeability: BTreeMap<String, f64>,
    /// Factor on pressure drop, by element or stage.
    pub drop: BTreeMap<String, f64>,
    /// Factor on the restrictor's flow at a given drop.
    pub restrictor: Option<f64>,
}
