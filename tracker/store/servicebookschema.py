"""The service book: parts of a service, files beside it, a rule for each watch, a customer's watch from in to out."""

SERVICE_BOOK = """
ALTER TABLE watch ADD COLUMN came_in TEXT;
ALTER TABLE watch ADD COLUMN promised_for TEXT;
ALTER TABLE watch ADD COLUMN went_out TEXT;
ALTER TABLE watch ADD COLUMN service_every_years REAL CHECK (service_every_years > 0);
ALTER TABLE watch ADD COLUMN service_due_on TEXT;
ALTER TABLE service ADD COLUMN occasion TEXT NOT NULL DEFAULT '';
ALTER TABLE service ADD COLUMN lubricants TEXT NOT NULL DEFAULT '';

CREATE TABLE service_part (
    uid TEXT PRIMARY KEY,
    service_uid TEXT NOT NULL REFERENCES service(uid),
    ordinal INTEGER NOT NULL CHECK (ordinal > 0),
    what TEXT NOT NULL,
    before_height_mm REAL CHECK (before_height_mm > 0),
    before_thickness_mm REAL CHECK (before_thickness_mm > 0),
    before_length_mm REAL CHECK (before_length_mm > 0),
    before_barrel_mm REAL CHECK (before_barrel_mm > 0),
    after_height_mm REAL CHECK (after_height_mm > 0),
    after_thickness_mm REAL CHECK (after_thickness_mm > 0),
    after_length_mm REAL CHECK (after_length_mm > 0),
    after_barrel_mm REAL CHECK (after_barrel_mm > 0),
    voided_by TEXT
);
CREATE INDEX service_part_service ON service_part(service_uid, ordinal);

ALTER TABLE attachment RENAME TO attachment_before;
DROP INDEX attachment_watch;
CREATE TABLE attachment (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    of_uid TEXT NOT NULL,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    media_type TEXT NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png', 'image/webp', 'application/pdf')),
    size_bytes INTEGER NOT NULL CHECK (size_bytes > 0),
    title TEXT NOT NULL DEFAULT '',
    unreadable INTEGER NOT NULL DEFAULT 0 CHECK (unreadable IN (0, 1)),
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
INSERT INTO attachment (uid, watch_uid, of_uid, sha256, media_type, size_bytes, unreadable, noted_at_utc, person_uid,
    origin, voided_by, version)
SELECT uid, watch_uid, of_uid, sha256, media_type, size_bytes, unreadable, noted_at_utc, person_uid, origin, voided_by, version
FROM attachment_before;
DROP TABLE attachment_before;
CREATE INDEX attachment_watch ON attachment(watch_uid);
"""
