-- What there is beside readings and rows set aside: a few entries of each unit, read at once when a server
-- starts, while the readings are read unit by unit.
CREATE INDEX entry_but_rows ON entry (kind) WHERE kind <> 'reading' AND kind <> 'set_aside';
