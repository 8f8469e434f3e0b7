//! The program run as a user runs it: one file a command.

mod corpus_replay;
mod demo_practice;
mod gas;
mod gland;
mod gland_kinds;
mod job;
mod manual;
mod note_record;
mod offer;
mod order_merge;
mod part_find;
mod price_list;
mod program;
mod readme;
mod ring_known;
mod ring_session;
mod sheet;
mod stage;
mod ten_glands;
mod uses;
mod variant;
mod wrong_input;
