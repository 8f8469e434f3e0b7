//! The parts book's logic: what the units of a model agree on, and the parts list that follows.

mod decision;
mod elsewhere;
mod failed;
mod findings;
mod gather;
mod gland_variants;
mod label;
mod made_part;
mod model_units;
mod name;
mod one_place;
mod part_length;
mod part_line;
mod part_words;
mod parts_list;
mod plain_part;
mod pooling;
mod ring_alternates;
mod ring_evidence;
mod ring_material;
mod ring_part;
mod ring_places;
mod ring_sides;
mod ring_words;
mod seal_check;
mod stated_rings;
mod stock;
mod unit_choice;
mod unit_record;

pub use decision::{Decided, Decision, Says, only_ring, tell_decisions};
pub use elsewhere::{Elsewhere, ElsewhereAbout};
pub use failed::{Failed, FailedReach};
pub use gather::{Gathered, Member, gather, plain_position};
pub use label::{Label, LabelError, LabelKind};
pub use made_part::{MadeAsk, MadeForm, MadeLength, MadePart, RecordedBy};
pub use name::ModelName;
pub use name::{MeasuredName, lengths_agree};
pub use name::{name_key, near_names, place_words};
pub use one_place::{NearPlace, near_place};
pub use part_length::{PartLength, same_lengths};
pub use part_line::{
    Alternate, Conflict, ConflictAbout, PartAction, PartGland, PartLine, PartMaterial, PartSize,
    SizeBasis,
};
pub use part_words::{PartWords, WordsMet};
pub use parts_list::Workshop;
pub use parts_list::{PartsList, PartsUnit};
pub use pooling::{APART_PROBABILITY, Apart, Pooled, UnitValue, pool};
pub use ring_evidence::{RingEvidence, RingNext, UnitRing};
pub use ring_places::{RingPlace, RingVariant, regimes_seen, ring_places};
pub use ring_words::worth;
pub use seal_check::RingInGland;
pub use stock::{LifeRule, LotLife, Pick, Picked, StockKey, StockLot, WantedMaterial, pick};
pub use unit_choice::UnitChoice;
pub use unit_record::UnitRecord;
