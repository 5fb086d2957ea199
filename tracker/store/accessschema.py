"""Who may come in: persons, the hashes of their secrets, their sessions and tokens, as the migration makes them."""

ACCESS = """
ALTER TABLE person ADD COLUMN secret_uid TEXT;
ALTER TABLE person ADD COLUMN removed_utc TEXT;
ALTER TABLE person ADD COLUMN voided_by TEXT;

CREATE TABLE secret (
    uid TEXT PRIMARY KEY,
    hash TEXT NOT NULL
);

CREATE TABLE session (
    uid TEXT PRIMARY KEY,
    hash TEXT NOT NULL UNIQUE,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    trusted INTEGER NOT NULL CHECK (trusted IN (0, 1)),
    browser TEXT NOT NULL,
    begun_utc TEXT NOT NULL,
    used_utc TEXT NOT NULL,
    ends_utc TEXT NOT NULL
);

CREATE TABLE wrong_try (
    source TEXT PRIMARY KEY,
    failures INTEGER NOT NULL CHECK (failures > 0),
    last_utc TEXT NOT NULL
);

CREATE TABLE token (
    uid TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    secret_uid TEXT NOT NULL UNIQUE,
    scope TEXT NOT NULL CHECK (scope IN ('read', 'log', 'all')),
    added_utc TEXT NOT NULL,
    expires_utc TEXT,
    used_utc TEXT,
    ended_utc TEXT,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
"""
