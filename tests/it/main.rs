//! The program run as a person runs it, one file a command, and the rooms that have many tests of their own.

mod caution;
mod corpus_replay;
mod demo_practice;
mod gas;
mod gear;
mod gland;
mod hostile_book;
mod job;
mod kept_list;
mod less_typing;
mod make_sheet;
mod manual;
mod note_record;
mod offer;
mod offer_tie;
mod one_evidence;
mod order;
mod part_find;
mod price_lists;
mod program;
mod readme;
mod release_refused;
mod ring_known;
mod ring_scan;
mod ring_session;
mod screen;
mod sheet;
mod sold_size;
mod stage;
mod thread;
mod unwritten;
mod uses;
mod variant;
mod wrong_input;

#[path = "../notes/mod.rs"]
mod notes;
#[path = "../reliability/mod.rs"]
mod reliability;
#[path = "../store/mod.rs"]
mod store;
#[path = "../supply/mod.rs"]
mod supply;
