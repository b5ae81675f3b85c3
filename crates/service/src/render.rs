//! r
/// r
pub fn render_text(c: &crate::JobCard) -> String {
    format!("{c:?}")
}
