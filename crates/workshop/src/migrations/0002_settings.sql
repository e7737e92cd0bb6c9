-- Form 2: small things the pages remember. They are no part of any craft, so the journal does not hold them.

CREATE TABLE setting (
    key TEXT PRIMARY KEY NOT NULL,
    value TEXT NOT NULL
) STRICT;
