//! The program run as a user runs it: one file a command.

mod gland;
mod gland_kinds;
mod program;
mod readme;
mod ten_glands;
mod wrong_input;
