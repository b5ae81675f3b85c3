//! stub
use crate::args::Check;
use crate::failure::Failure;
pub(crate) fn run(_args: &Check) -> Result<(), Failure> { Ok(()) }
