-- Form 1: the store of parts, the craft with their places, and the journal.
--
-- Every table of things has the same shape: its key, the thing as JSON text, and the checksum of key
-- and text together (see row.rs). Columns after that are read from the text, for the eye and the triggers.

CREATE TABLE part (
    id TEXT PRIMARY KEY NOT NULL,
    json TEXT NOT NULL,
    sum INTEGER NOT NULL,
    kind TEXT GENERATED ALWAYS AS (json ->> '$.part.kind') VIRTUAL,
    name TEXT GENERATED ALWAYS AS (json ->> '$.part.name') VIRTUAL,
    demo INTEGER GENERATED ALWAYS AS (json ->> '$.demo') VIRTUAL
) STRICT;

CREATE TABLE craft (
    id TEXT PRIMARY KEY NOT NULL,
    json TEXT NOT NULL,
    sum INTEGER NOT NULL,
    name TEXT GENERATED ALWAYS AS (json ->> '$.name') VIRTUAL,
    position INTEGER GENERATED ALWAYS AS (json ->> '$.position') VIRTUAL,
    demo INTEGER GENERATED ALWAYS AS (json ->> '$.demo') VIRTUAL
) STRICT;

-- The places of a craft. A place may name a part that its craft does not have yet: a craft entered
-- halfway must still open, and the proof says what dangles.
CREATE TABLE place (
    craft TEXT NOT NULL REFERENCES craft (id) DEFERRABLE INITIALLY DEFERRED,
    id TEXT NOT NULL,
    json TEXT NOT NULL,
    sum INTEGER NOT NULL,
    position INTEGER GENERATED ALWAYS AS (json ->> '$.position') VIRTUAL,
    PRIMARY KEY (craft, id)
) STRICT;

-- Which craft uses which part. A part is shared: it stands once, however many craft use it.
CREATE TABLE craft_part (
    craft TEXT NOT NULL REFERENCES craft (id) DEFERRABLE INITIALLY DEFERRED,
    part TEXT NOT NULL REFERENCES part (id) DEFERRABLE INITIALLY DEFERRED,
    json TEXT NOT NULL,
    sum INTEGER NOT NULL,
    position INTEGER GENERATED ALWAYS AS (json ->> '$.position') VIRTUAL,
    PRIMARY KEY (craft, part)
) STRICT;

CREATE INDEX craft_part_by_part ON craft_part (part);

-- The sheet a craft came from, so that its comments live on when it is written out again.
CREATE TABLE sheet (
    craft TEXT PRIMARY KEY NOT NULL REFERENCES craft (id) DEFERRABLE INITIALLY DEFERRED,
    json TEXT NOT NULL,
    sum INTEGER NOT NULL
) STRICT;

-- What happened, in order. `before` and `after` list the rows that a line changed, and only those.
CREATE TABLE journal (
    seq INTEGER PRIMARY KEY NOT NULL,
    at TEXT NOT NULL,
    kind TEXT NOT NULL,
    craft TEXT,
    part TEXT,
    what TEXT NOT NULL,
    target INTEGER REFERENCES journal (seq),
    edit TEXT,
    before TEXT NOT NULL,
    after TEXT NOT NULL,
    sum INTEGER NOT NULL
) STRICT;

CREATE INDEX journal_by_craft ON journal (craft, seq);
CREATE INDEX journal_by_part ON journal (part, seq);

-- Also keeps a line from being replaced by another of its number.
CREATE TRIGGER journal_grows_at_its_end BEFORE INSERT ON journal
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal)
BEGIN
    SELECT RAISE(ABORT, 'the journal only grows: the next line has the next number');
END;

CREATE TRIGGER journal_is_never_rewritten BEFORE UPDATE ON journal BEGIN
    SELECT RAISE(ABORT, 'the journal only grows: no line is ever changed');
END;

CREATE TRIGGER journal_is_never_shortened BEFORE DELETE ON journal BEGIN
    SELECT RAISE(ABORT, 'the journal only grows: no line is ever taken out');
END;

-- The demo and the user's own never share a part, so that the demo can go without taking anything along.
CREATE TRIGGER demo_keeps_to_itself BEFORE INSERT ON craft_part
WHEN (SELECT demo FROM craft WHERE id = NEW.craft) IS NOT (SELECT demo FROM part WHERE id = NEW.part)
BEGIN
    SELECT RAISE(ABORT, 'a craft of the demo and one of the user''s own share no part');
END;
