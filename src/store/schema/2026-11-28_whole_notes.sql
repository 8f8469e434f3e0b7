-- A note is kept whole, as it was read on the day on which it was added: one value in place of the rows of twelve tables that were
-- always read together. What was said of its rings then stands beside it.

CREATE TABLE whole_note (
    id INTEGER PRIMARY KEY,
    unit_id INTEGER NOT NULL REFERENCES unit (id),
    -- ISO 8601; empty where the note gives no day.
    date TEXT NOT NULL,
    form TEXT NOT NULL CHECK (form IN ('text', 'csv')),
    -- The note as it was handed in, and as the program prints it.
    original TEXT NOT NULL,
    canonical TEXT NOT NULL,
    -- What was read in it, as JSON: the words of `core::note::Note`.
    body TEXT NOT NULL,
    -- What was said of its rings, as JSON: a list of `core::exchange::NamedItem`.
    named TEXT NOT NULL,
    -- Lines that could not be read, where the user chose to store the rest.
    unread_lines INTEGER NOT NULL DEFAULT 0 CHECK (unread_lines >= 0),
    added_at TEXT NOT NULL,
    -- A note that was replaced stays as history.
    replaced_at TEXT,
    replaced_by INTEGER REFERENCES whole_note (id),
    -- The other shop whose book brought it, and who here accepted it.
    shop TEXT,
    accepted_by TEXT,
    accepted_at TEXT
) STRICT;

INSERT INTO whole_note
SELECT n.id, unit_id, date, form, original, canonical,
    json_object(
        'header', json_object(
            'maker', maker, 'model', model, 'unit', unit, 'gear', gear, 'variant', variant, 'made', made, 'date', nullif(date, ''),
            'gas', gas,
            'oxygen', iif(oxygen_typed IS NULL, NULL, json_object('value', oxygen, 'text', oxygen_typed)),
            'supply', iif(supply_typed IS NULL, NULL, json_object(
                'value', json_object('pascals', supply_pa, 'reference', supply_reference), 'text', supply_typed)),
            'rated', iif(rated_typed IS NULL, NULL, json_object(
                'value', json_object('pascals', rated_pa, 'reference', rated_reference), 'text', rated_typed)),
            'lengths', lengths, 'by', taken_apart_by, 'owner', owner, 'purpose', purpose, 'connection', connection,
            'as_found', json((SELECT json_group_array(words ORDER BY place) FROM note_words WHERE note_id = n.id AND topic = 'as found')),
            'photos', json((SELECT json_group_array(words ORDER BY place) FROM note_words WHERE note_id = n.id AND topic = 'photo')),
            'remarks', json((SELECT json_group_array(words ORDER BY place) FROM note_words WHERE note_id = n.id AND topic = 'remark')),
            'comments', json((SELECT json_group_array(words ORDER BY place) FROM note_words WHERE note_id = n.id AND topic = 'comment'))),
        'entries', json((SELECT json_group_array(json_object(
            'order', removal, 'section', section, 'position', position, 'kind', kind,
            'kind_stated', json(iif(kind_stated, 'true', 'false')), 'name', name, 'quantity', quantity, 'fate', fate,
            'condition', iif(condition_typed IS NULL, NULL, json_object('value', condition, 'text', condition_typed)),
            'readings', json((SELECT json_group_array(json_object('measurand', measurand,
                    'values', json((SELECT json_group_array(value ORDER BY place) FROM reading_value WHERE reading_id = r.id)),
                    'method', method, 'typed', typed) ORDER BY place)
                FROM reading r WHERE entry_id = e.id)),
            'dimensions', json((SELECT json_group_array(json_object('name', name,
                    'values', json((SELECT json_group_array(json_object('nominal', nominal_nm, 'plus', plus_nm, 'minus', minus_nm) ORDER BY place)
                        FROM part_length_value WHERE part_length_id = l.id)),
                    'method', method, 'typed', typed) ORDER BY place)
                FROM part_length l WHERE entry_id = e.id)),
            'stated_size', iif(stated_by IS NULL, NULL, json_object('text', stated_size, 'by', stated_by)),
            'polymer', iif(polymer_typed IS NULL, NULL, json_object('value', polymer, 'text', polymer_typed)),
            'hardness', iif(hardness_typed IS NULL, NULL, json_object(
                'value', json_object('value', hardness, 'scale', hardness_scale), 'text', hardness_typed)),
            'material', material,
            'gland', json((SELECT json_object('kind', kind,
                    'dimensions', json((SELECT json_group_array(json_array(name, json_object(
                            'value', json_object('nominal', nominal_nm, 'plus', plus_nm, 'minus', minus_nm), 'text', typed)) ORDER BY place)
                        FROM gland_dimension WHERE entry_id = g.entry_id)),
                    'duty', duty,
                    'pressure', iif(pressure_typed IS NULL, NULL, json_object(
                        'value', json_object('pascals', pressure_pa, 'reference', pressure_reference), 'text', pressure_typed)),
                    'from', pressure_from,
                    'angle', iif(angle_typed IS NULL, NULL, json_object('value', angle_deg, 'text', angle_typed)),
                    'back_ups', back_ups)
                FROM gland g WHERE entry_id = e.id)),
            'tool', tool,
            'torque', iif(torque_typed IS NULL, NULL, json_object('value', torque_nm, 'text', torque_typed)),
            'turns', iif(turns_typed IS NULL, NULL, json_object('value', turns, 'text', turns_typed)),
            'thread', thread, 'exposed', exposed, 'orientation', orientation, 'side', side, 'face', face, 'colour', colour,
            'marking', marking,
            -- "PAGE ring NUMBER", and " by SCANNER" where that is known; the last " ring " parts page and number.
            'scan', json((SELECT json_object('page', replace(substr(page, 1, length(page) - 1), char(1), ' ring '),
                    'ring', CAST(iif(instr(rest, ' by '), substr(rest, 1, instr(rest, ' by ') - 1), rest) AS INTEGER),
                    'scanner', iif(instr(rest, ' by '), substr(rest, instr(rest, ' by ') + 4), NULL))
                FROM (SELECT page, substr(words, length(page) + 1) AS rest
                      FROM (SELECT words, rtrim(words, replace(words, char(1), '')) AS page
                            FROM (SELECT replace(place, ' ring ', char(1)) AS words FROM entry_scan WHERE entry_id = e.id))))),
            'photos', json((SELECT json_group_array(words ORDER BY place) FROM entry_words WHERE entry_id = e.id AND topic = 'photo')),
            'remarks', json((SELECT json_group_array(words ORDER BY place) FROM entry_words WHERE entry_id = e.id AND topic = 'remark')),
            'comments', json((SELECT json_group_array(words ORDER BY place) FROM entry_words WHERE entry_id = e.id AND topic = 'comment')),
            'line', line) ORDER BY removal)
            FROM entry e WHERE note_id = n.id)),
        'closing_comments',
            json((SELECT json_group_array(words ORDER BY place) FROM note_words WHERE note_id = n.id AND topic = 'closing comment'))),
    json((SELECT json_group_array(json_object('removal', e.removal, 'made_at', made_at, 'made_by', made_by,
            'unlisted_probability', unlisted_probability,
            'candidates', json((SELECT json_group_array(json_object(
                    'codes', json((SELECT json_group_array(code ORDER BY place) FROM candidate_code k
                        WHERE k.entry_id = c.entry_id AND k.rank = c.rank)),
                    'id_nm', id_nm, 'section_nm', section_nm, 'probability', probability, 'misfit_sigma', misfit_sigma) ORDER BY rank)
                FROM candidate c WHERE c.entry_id = e.id))) ORDER BY e.removal)
        FROM entry e JOIN identification i ON i.entry_id = e.id WHERE e.note_id = n.id)),
    unread_lines, added_at, replaced_at, replaced_by, shop, accepted_by, accepted_at
FROM note n;

-- The cut-outs of pages that show rings measured from them.
CREATE TABLE ring_picture (
    note_id INTEGER NOT NULL REFERENCES whole_note (id) ON DELETE CASCADE,
    -- The ring's place in the order of removal.
    removal INTEGER NOT NULL,
    -- JPEG.
    picture BLOB NOT NULL,
    -- From its left edge to its right one, on the glass.
    width_nm INTEGER NOT NULL CHECK (width_nm > 0),
    PRIMARY KEY (note_id, removal)
) STRICT;

INSERT INTO ring_picture
SELECT note_id, removal, picture, width_nm FROM entry_scan JOIN entry ON entry.id = entry_id WHERE picture IS NOT NULL;

DROP TABLE candidate_code;
DROP TABLE candidate;
DROP TABLE identification;
DROP TABLE entry_scan;
DROP TABLE gland_dimension;
DROP TABLE gland;
DROP TABLE part_length_value;
DROP TABLE part_length;
DROP TABLE reading_value;
DROP TABLE reading;
DROP TABLE entry_words;
DROP TABLE entry;
DROP TABLE note_words;
DROP TABLE note;
ALTER TABLE whole_note RENAME TO note;
CREATE UNIQUE INDEX note_present ON note (unit_id, date) WHERE replaced_at IS NULL;
