"""The tables, version by version. A version once released is never changed: a change is a new entry."""

APPLICATION = 0x42454C4C
"""Marks the file as ours (`PRAGMA application_id`): "BELL" in ASCII."""

VERSIONS: tuple[str, ...] = (
    """
    -- A book is one unbroken run of positions. A copy opens a new one, so that phones notice a restore.
    CREATE TABLE book (id TEXT NOT NULL) STRICT;
    INSERT INTO book VALUES (lower(hex(randomblob(8))));

    -- body is what the device sent, to the letter; the other columns only find it again.
    CREATE TABLE happening (
        position INTEGER PRIMARY KEY AUTOINCREMENT,
        device TEXT NOT NULL,
        n INTEGER NOT NULL,
        id TEXT NOT NULL UNIQUE,
        build TEXT NOT NULL,
        kind TEXT NOT NULL,
        body BLOB NOT NULL,
        UNIQUE (device, n)
    ) STRICT;
    CREATE INDEX happening_of_build ON happening (build, position);
    CREATE INDEX happening_with_code ON happening (position) WHERE kind IN ('started', 'remade');

    -- token: SHA-256 of it. Moments are milliseconds since 1970 UTC.
    CREATE TABLE device (
        id TEXT PRIMARY KEY,
        name TEXT NOT NULL,
        token BLOB NOT NULL UNIQUE,
        paired_ms INTEGER NOT NULL,
        seen_ms INTEGER NOT NULL,
        revoked_ms INTEGER
    ) STRICT;

    -- code: SHA-256 of it. At most a few rows: spent and late ones are swept out.
    CREATE TABLE pairing_code (code BLOB PRIMARY KEY, until_ms INTEGER NOT NULL) STRICT;

    -- What a revoked device sent afterwards, whole: for a person to judge.
    CREATE TABLE kept_aside (
        id INTEGER PRIMARY KEY,
        device TEXT NOT NULL,
        received_ms INTEGER NOT NULL,
        sha256 BLOB NOT NULL UNIQUE,
        body BLOB NOT NULL
    ) STRICT;
    """,
    """
    -- Where a device can be pushed to, one a device. good_ms: when the push service last took something.
    CREATE TABLE subscription (
        device TEXT PRIMARY KEY,
        endpoint TEXT NOT NULL UNIQUE,
        p256dh BLOB NOT NULL,
        auth BLOB NOT NULL,
        since_ms INTEGER NOT NULL,
        good_ms INTEGER,
        trouble TEXT NOT NULL DEFAULT ''
    ) STRICT;

    -- Which rings each device, or the server's own bell, was told of.
    CREATE TABLE told (
        device TEXT NOT NULL,
        build TEXT NOT NULL,
        operation TEXT NOT NULL,
        ring TEXT NOT NULL,
        told_ms INTEGER NOT NULL,
        PRIMARY KEY (device, build, operation, ring)
    ) STRICT, WITHOUT ROWID;

    -- A device's private calendar feed. token: SHA-256 of what is in its address.
    CREATE TABLE feed (
        device TEXT PRIMARY KEY,
        token BLOB NOT NULL UNIQUE,
        since_ms INTEGER NOT NULL,
        fetched_ms INTEGER
    ) STRICT;

    -- Each calendar entry as handed out last, so that SEQUENCE goes up with every change.
    CREATE TABLE entry (uid TEXT PRIMARY KEY, body BLOB NOT NULL) STRICT;
    """,
    """
    -- Builds found over and silent, so that a start need not read them: see store/finished_cache.py.
    CREATE TABLE silent (
        build TEXT PRIMARY KEY,
        last INTEGER NOT NULL,
        shop INTEGER NOT NULL,
        code TEXT NOT NULL,
        air_ms INTEGER NOT NULL
    ) STRICT;
    """,
    """
    ALTER TABLE book RENAME TO log_epoch;
    ALTER TABLE kept_aside RENAME TO quarantine;
    ALTER TABLE silent RENAME TO finished_cache;
    ALTER TABLE finished_cache RENAME COLUMN last TO last_position;
    ALTER TABLE finished_cache RENAME COLUMN shop TO read_to_position;
    ALTER TABLE finished_cache RENAME COLUMN air_ms TO conditions_before_ms;
    ALTER TABLE subscription RENAME TO push_subscription;
    ALTER TABLE told RENAME TO delivered;
    ALTER TABLE delivered RENAME COLUMN told_ms TO delivered_ms;
    ALTER TABLE feed RENAME TO calendar_feed;
    ALTER TABLE entry RENAME TO calendar_entry;

    -- Every label code that any build ever got, so that no later build gets it again: see store/label_codes.py.
    CREATE TABLE label_code (code TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
    WITH given AS (
        SELECT CAST(body AS TEXT) AS body FROM happening
        WHERE kind IN ('started', 'remade') AND json_valid(CAST(body AS TEXT))
    )
    INSERT OR IGNORE INTO label_code
    SELECT value FROM given, json_each(given.body, '$.what.codes') WHERE type = 'text'
    UNION
    SELECT json_extract(body, '$.what.code') FROM given WHERE json_type(body, '$.what.code') = 'text';

    -- Finding the codes was all it was for.
    DROP INDEX happening_with_code;
    """,
    """
    -- One row: the server's clock as it was last read. See alerts/server_clock.py.
    CREATE TABLE clock_reading (
        id INTEGER PRIMARY KEY CHECK (id = 1),
        boot TEXT NOT NULL,
        offset_ms INTEGER NOT NULL,
        base INTEGER NOT NULL,
        since INTEGER NOT NULL,
        wall_ms INTEGER NOT NULL,
        is_trusted INTEGER NOT NULL,
        was_trusted INTEGER NOT NULL,
        is_doubtful INTEGER NOT NULL
    ) STRICT;
    -- crc: CRC-32 of body; NULL where body was damaged before this column came. See store/checksum.py.
    ALTER TABLE happening ADD COLUMN crc INTEGER;
    UPDATE happening SET crc = checksum_if_readable(body);

    -- What is stamped more than a day ahead of the server, until its time comes: see store/early.py.
    CREATE TABLE early_happening (
        device TEXT NOT NULL,
        n INTEGER NOT NULL,
        id TEXT NOT NULL,
        at_ms INTEGER NOT NULL,
        body BLOB NOT NULL,
        crc INTEGER NOT NULL,
        redated INTEGER NOT NULL DEFAULT 0,
        PRIMARY KEY (device, n)
    ) STRICT, WITHOUT ROWID;
    -- How many happenings a request holds; unknown for earlier ones, so each counts as a full one.
    ALTER TABLE quarantine ADD COLUMN entries INTEGER NOT NULL DEFAULT 500;
    """,
)
