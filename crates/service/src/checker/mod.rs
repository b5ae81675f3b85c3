//! stub
use crate::JobCard; use unit::Unit;
/// f
#[derive(Clone, Debug, PartialEq)]
pub struct Finding;
impl std::fmt::Display for Finding { fn fmt(&self,f:&mut std::fmt::Formatter<'_>)->std::fmt::Result{write!(f,"x")} }
/// c
pub fn check(_: &Unit, _: &JobCard) -> Vec<Finding> { vec![] }
