-- Form 3: units with their images, and what happened to each craft in its owner's words.
--
-- All of the same shape as other things: key, JSON text, checksum. None refers to another by the file itself: an entry
-- outlives the craft it tells of, and a unit the image it once carried.

CREATE TABLE unit (id TEXT PRIMARY KEY NOT NULL, json TEXT NOT NULL, sum INTEGER NOT NULL) STRICT;
CREATE TABLE image (id TEXT PRIMARY KEY NOT NULL, json TEXT NOT NULL, sum INTEGER NOT NULL) STRICT;
CREATE TABLE matching_set (id TEXT PRIMARY KEY NOT NULL, json TEXT NOT NULL, sum INTEGER NOT NULL) STRICT;
CREATE TABLE recipe (id TEXT PRIMARY KEY NOT NULL, json TEXT NOT NULL, sum INTEGER NOT NULL) STRICT;
CREATE TABLE batch (id TEXT PRIMARY KEY NOT NULL, json TEXT NOT NULL, sum INTEGER NOT NULL) STRICT;
CREATE TABLE counter (id TEXT PRIMARY KEY NOT NULL, json TEXT NOT NULL, sum INTEGER NOT NULL) STRICT;

CREATE TABLE entry (
    id TEXT PRIMARY KEY NOT NULL,
    json TEXT NOT NULL,
    sum INTEGER NOT NULL,
    at INTEGER GENERATED ALWAYS AS (json ->> '$.thing.at') VIRTUAL,
    kind TEXT GENERATED ALWAYS AS (json ->> '$.thing.kind') VIRTUAL,
    craft TEXT GENERATED ALWAYS AS (json ->> '$.thing.craft') VIRTUAL
) STRICT;

CREATE INDEX entry_by_craft ON entry (craft, at);
