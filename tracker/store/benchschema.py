"""Run-down tests on the bench."""

BENCH_TESTS = """
CREATE TABLE bench_test (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    wind_uid TEXT NOT NULL,
    occasion TEXT NOT NULL CHECK (occasion IN ('before service', 'after service', 'in between')),
    position TEXT CHECK (position IN ('CH', 'CB', '3H', '6H', '9H', '12H')),
    note TEXT NOT NULL DEFAULT '',
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    ended_utc TEXT,
    ended_by TEXT CHECK (ended_by IN ('stop read', 'stop seen', 'sensor', 'broken off')),
    reason TEXT NOT NULL DEFAULT '',
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE INDEX bench_test_watch ON bench_test(watch_uid);
"""
