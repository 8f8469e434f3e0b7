//! The program run as a user runs it: one file a command.

mod gland;
mod wrong_input;
