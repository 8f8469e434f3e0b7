-- The value of goods from which on a supplier sends an order without carriage, in minor units of the currency of its terms.

ALTER TABLE supplier ADD COLUMN free_above INTEGER CHECK (free_above >= 0);
