//! The program run as a user runs it: one file a command.

mod gland;
mod gland_kinds;
mod note_record;
mod program;
mod readme;
mod ring_known;
mod ring_session;
mod ten_glands;
mod wrong_input;
