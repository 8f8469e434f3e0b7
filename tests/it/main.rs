//! The program run as a user runs it: one file a command.

mod caution;
mod corpus_replay;
mod demo_practice;
mod gas;
mod gear;
mod gland;
mod gland_kinds;
mod hostile_book;
mod job;
mod manual;
mod note_record;
mod offer;
mod order_merge;
mod part_find;
mod price_list;
mod program;
mod readme;
mod release_refused;
mod ring_known;
mod ring_session;
mod sheet;
mod stage;
mod ten_glands;
mod uses;
mod variant;
mod wrong_input;
