//! Records as files for other programs.
