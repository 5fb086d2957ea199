"""The tables of sensors.db, as the migrations make them.

Moments are seconds since 1970 in UTC, as the sensors' own arithmetic keeps them. A sensor stands here by a small number:
its uid in every reading would double the file.
"""

FIRST = """
CREATE TABLE sensed (
    number INTEGER PRIMARY KEY,
    sensor_uid TEXT NOT NULL UNIQUE,
    counter INTEGER NOT NULL DEFAULT 0,
    set_up TEXT NOT NULL DEFAULT '',
    read_as TEXT NOT NULL DEFAULT '',
    handed_over TEXT NOT NULL DEFAULT '[]',
    upto_s REAL,
    course TEXT NOT NULL DEFAULT '',
    arrived_s REAL,
    topic TEXT NOT NULL DEFAULT '',
    payload BLOB NOT NULL DEFAULT x'',
    retained INTEGER NOT NULL DEFAULT 0 CHECK (retained IN (0, 1)),
    newest_s REAL,
    readings INTEGER NOT NULL DEFAULT 0,
    rejected INTEGER NOT NULL DEFAULT 0,
    queued INTEGER NOT NULL DEFAULT 0
);

CREATE TABLE reading (
    sensor INTEGER NOT NULL REFERENCES sensed(number),
    at_s REAL NOT NULL,
    value REAL NOT NULL,
    stamped INTEGER NOT NULL CHECK (stamped IN (0, 1)),
    PRIMARY KEY (sensor, at_s, value)
) WITHOUT ROWID;

CREATE TABLE going_span (
    sensor INTEGER NOT NULL REFERENCES sensed(number),
    from_s REAL NOT NULL,
    to_s REAL NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('going', 'stopped')),
    ended TEXT NOT NULL CHECK (ended IN ('stopped', 'going', 'unknown', 'open')),
    settled INTEGER NOT NULL CHECK (settled IN (0, 1))
);
CREATE INDEX going_span_from ON going_span(sensor, from_s);
CREATE INDEX going_span_unsettled ON going_span(sensor) WHERE settled = 0;

CREATE TABLE sensor_stop (
    sensor INTEGER NOT NULL REFERENCES sensed(number),
    after_s REAL NOT NULL,
    before_s REAL NOT NULL,
    settled INTEGER NOT NULL CHECK (settled IN (0, 1))
);
CREATE INDEX sensor_stop_after ON sensor_stop(sensor, after_s);
CREATE INDEX sensor_stop_unsettled ON sensor_stop(sensor) WHERE settled = 0;

CREATE TABLE unlike_stamp (
    sensor INTEGER NOT NULL REFERENCES sensed(number),
    at_s REAL NOT NULL,
    settled INTEGER NOT NULL CHECK (settled IN (0, 1))
);
CREATE INDEX unlike_stamp_at ON unlike_stamp(sensor, at_s);

CREATE TABLE turn_count (
    sensor INTEGER NOT NULL REFERENCES sensed(number),
    hour INTEGER NOT NULL,
    clockwise REAL NOT NULL,
    anticlockwise REAL NOT NULL,
    not_known REAL NOT NULL,
    heard_s REAL NOT NULL,
    bridged_s REAL NOT NULL,
    settled INTEGER NOT NULL CHECK (settled IN (0, 1)),
    PRIMARY KEY (sensor, hour)
) WITHOUT ROWID;

CREATE TABLE heard_topic (
    topic TEXT PRIMARY KEY,
    messages INTEGER NOT NULL,
    arrived_s REAL NOT NULL,
    payload BLOB NOT NULL,
    known INTEGER NOT NULL CHECK (known IN (0, 1))
) WITHOUT ROWID;

CREATE TABLE rejected_message (
    number INTEGER PRIMARY KEY,
    sensor INTEGER REFERENCES sensed(number),
    arrived_s REAL NOT NULL,
    topic TEXT NOT NULL,
    why TEXT NOT NULL,
    what TEXT NOT NULL,
    payload BLOB NOT NULL
);

CREATE TABLE listener (
    only INTEGER PRIMARY KEY CHECK (only = 1),
    state TEXT NOT NULL CHECK (state IN ('listening', 'away', 'stopped')),
    since_s REAL NOT NULL,
    why TEXT NOT NULL,
    protocol TEXT NOT NULL CHECK (protocol IN ('', '5', '3.1.1')),
    arrived_s REAL,
    messages INTEGER NOT NULL DEFAULT 0
);

CREATE TABLE subscribed (
    topic_filter TEXT PRIMARY KEY
) WITHOUT ROWID
"""
