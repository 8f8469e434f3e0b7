//! The rings of a model as one: those that the book holds, and one or a note that is not in it yet.

use super::identify::RingNamer;
use crate::app::model::find::find_model;
use crate::app::model::maker::{MakerShelf, OtherModels};
use crate::app::model::unit_records::{all_unit_records, fill_in};
use crate::core::book::{ModelName, UnitRecord, gather, name_key, ring_places};
use crate::core::identification::{Identification, Identifier, RegimeOdds};
use crate::core::note::{Entry, Note, PartKind};
use crate::core::provenance::Whose;
use crate::store::{Book, BookPlace, BookReader, KeptLists, StoreError};

/// The units of a model with rings that are not in the book yet.
#[derive(Debug, Clone, Default)]
pub struct ModelRings {
    units: Vec<UnitRecord>,
    others: OtherModels,
    /// What each other model of the maker says of the families that he used.
    maker: Vec<RegimeOdds>,
}

/// The serial number under which a ring that belongs to no unit of the book yet is weighed.
const LOOSE: &str = "(this ring)";

impl ModelRings {
    /// Reads our units of a model, or those of others where none is ours; no units where the book does not know the model.
    pub(in crate::app) fn known(
        book: &BookReader<'_>,
        name: &ModelName,
    ) -> Result<Self, StoreError> {
        let others = MakerShelf::open(book)?.beside(name)?;
        let model = book.model(name)?;
        let units = model.map(|model| all_unit_records(book, model.id));
        Ok(Self {
            units: units.transpose()?.unwrap_or_default(),
            others,
            maker: Vec::new(),
        })
    }

    /// Hears the other models of the maker; the book is not kept from anybody meanwhile.
    pub(in crate::app) fn hearing_the_maker(mut self, place: &BookPlace) -> Self {
        self.maker = self.others.regimes(&mut KeptLists::beside(place));
        self
    }

    /// Reads what a book knows of a model; nothing where there is no book yet, or where it cannot be read.
    pub fn known_to(place: &BookPlace, name: &ModelName) -> Self {
        let known = Book::open_to_read(place)
            .and_then(|mut book| book.read(|book| Self::known(book, name)));
        known
            .map(|rings| rings.hearing_the_maker(place))
            .unwrap_or_default()
    }

    /// Returns the units that the book has of the model.
    pub(in crate::app) fn units(&self) -> &[UnitRecord] {
        &self.units
    }

    /// Reads the units of a model by the name that somebody types.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn of_model(place: &BookPlace, asked: &str) -> Result<Self, StoreError> {
        let rings = Book::open_to_read(place)?
            .read(|book| Self::known(book, &find_model(book, asked)?.name))?;
        Ok(rings.hearing_the_maker(place))
    }

    /// Adds a note as the book will take it: the newest note of a unit speaks, older ones fill in what it leaves out.
    pub(in crate::app) fn add(&mut self, note: &Note) {
        let header = &note.header;
        let parts = note.entries.clone();
        let own = |unit: &&mut UnitRecord| name_key(&unit.serial) == name_key(&header.unit);
        let Some(unit) = self.units.iter_mut().find(own) else {
            self.units.push(UnitRecord {
                serial: header.unit.trim().to_owned(),
                header: header.clone(),
                parts,
                ..UnitRecord::default()
            });
            return;
        };
        unit.whose = Whose::Ours;
        if header.date >= unit.header.date {
            let older = std::mem::replace(&mut unit.parts, parts);
            unit.header = header.clone();
            fill_in(&mut unit.parts, older);
        } else {
            fill_in(&mut unit.parts, parts);
        }
    }

    /// Adds one ring, as that of a unit which the book does not have.
    pub fn add_ring(&mut self, entry: Entry) {
        self.units.push(UnitRecord {
            serial: LOOSE.to_owned(),
            parts: vec![entry],
            ..UnitRecord::default()
        });
    }

    /// Tells whether a ring of any unit sat in the place of this one.
    pub fn has_place(&self, ring: &Entry) -> bool {
        let mut rings = self.rings();
        rings.any(|known| known.place() == ring.place())
    }

    /// Lists the places of rings, as `section, position`.
    pub fn places(&self) -> Vec<String> {
        let mut places = Vec::new();
        for ring in self.rings() {
            let place = format!("{}, {}", ring.section, ring.position);
            if !places.contains(&place) {
                places.push(place);
            }
        }
        places
    }

    fn rings(&self) -> impl Iterator<Item = &Entry> {
        let parts = self.units.iter().flat_map(|unit| &unit.parts);
        parts.filter(|entry| entry.kind == PartKind::Ring)
    }

    /// Weighs the rings of all units as one.
    pub(in crate::app) fn weighed(mut self, namer: &RingNamer) -> WeighedRings {
        if self.units.iter().any(|unit| unit.whose.is_ours()) {
            self.units.retain(|unit| unit.whose.is_ours());
        }
        let gathered = gather(&self.units);
        let candidates = namer.candidates_for(&self.units);
        let mut identifier = Identifier::new(&candidates);
        let maker = candidates.by_the_maker(&self.maker);
        let places = ring_places(&gathered, &mut identifier, namer.instruments(), maker);
        let mut rings = Vec::new();
        for variant in places.iter().flatten().flat_map(|place| &place.variants) {
            for (member, ring) in variant.members.iter().zip(&variant.odds.rings) {
                let serial = &self.units[member.unit].serial;
                let ring = ring.clone();
                rings.extend(ring.map(|ring| (serial.clone(), member.entry.clone(), ring)));
            }
        }
        WeighedRings { rings }
    }

    /// Weighs the ring that was added last.
    pub fn added_ring(self, namer: &RingNamer) -> Option<Identification> {
        let weighed = self.weighed(namer);
        weighed
            .rings
            .into_iter()
            .find(|(serial, ..)| serial == LOOSE)
            .map(|(_, _, ring)| ring)
    }
}

/// The rings of a model, weighed as one.
pub(in crate::app) struct WeighedRings {
    rings: Vec<(String, Entry, Identification)>,
}

impl WeighedRings {
    /// Finds the ring of an entry of a unit.
    pub(in crate::app) fn of(&self, serial: &str, entry: &Entry) -> Option<&Identification> {
        let own = |known: &&(String, Entry, Identification)| {
            name_key(&known.0) == name_key(serial) && known.1 == *entry
        };
        self.rings.iter().find(own).map(|(_, _, ring)| ring)
    }
}
