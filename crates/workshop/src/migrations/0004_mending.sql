-- Form 4: mending sessions: what was seen, tried and found, as text. A session outlives the craft it was about.

CREATE TABLE mending (
    number INTEGER PRIMARY KEY NOT NULL,
    craft TEXT NOT NULL,
    ended INTEGER NOT NULL,
    text TEXT NOT NULL,
    sum INTEGER NOT NULL
) STRICT;

CREATE INDEX mending_by_craft ON mending (craft, number);
