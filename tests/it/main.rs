//! The program run as a user runs it: one file a command.

mod gland;
mod ring_known;
mod ring_session;
