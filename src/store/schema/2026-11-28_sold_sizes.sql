-- Ring sizes that are sold and in no list: read whole whenever a ring is named, and few beside the offers.
CREATE INDEX offer_unlisted ON offer (id_nm, section_nm, price_list_id)
    WHERE code IS NULL AND id_nm IS NOT NULL AND (kind IS NULL OR kind = 'o-ring');
