-- Where and when a unit was made, as its note says it: a country and a year, such as "us 1962".

ALTER TABLE note ADD COLUMN made TEXT;
