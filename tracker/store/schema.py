"""The tables of going.db, as the migrations make them.

Closed sets of words are CHECK constraints; moments are ISO 8601 text in UTC, ending in Z.
"""


def _words(column: str, *words: str) -> str:
    return f"CHECK ({column} IN ({', '.join(repr(word) for word in words)}))"


LOG_COLUMNS = """
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    at_utc TEXT NOT NULL,
    zone TEXT NOT NULL,
    within_min REAL NOT NULL CHECK (within_min >= 0),
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    note TEXT NOT NULL DEFAULT '',
    voided_by TEXT,
    replaces TEXT"""

SHOWN_COLUMNS = """
    shown TEXT,
    shown_date INTEGER CHECK (shown_date BETWEEN 1 AND 31),
    nothing_between INTEGER CHECK (nothing_between IN (0, 1))"""

FIRST = f"""
CREATE TABLE person (
    uid TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    role TEXT NOT NULL {_words("role", "owner", "helper")},
    added_utc TEXT NOT NULL,
    version INTEGER NOT NULL DEFAULT 1
);

CREATE TABLE watch (
    uid TEXT PRIMARY KEY,
    nickname TEXT NOT NULL,
    wound_by TEXT NOT NULL {_words("wound_by", "crown", "crown and rotor", "rotor only", "key", "weights")},
    crown_turns_to_full REAL CHECK (crown_turns_to_full > 0),
    stated_reserve_h REAL CHECK (stated_reserve_h > 0),
    reserve_class TEXT {_words("reserve_class", "a day or two", "three days", "eight days", "a month")},
    indicator TEXT NOT NULL {_words("indicator", "none", "fraction", "hours")},
    dial_hours INTEGER NOT NULL CHECK (dial_hours IN (12, 24)),
    date_window INTEGER NOT NULL CHECK (date_window IN (0, 1)),
    setting_details TEXT NOT NULL DEFAULT '',
    habit TEXT NOT NULL {_words("habit", "when worn", "keep going", "on weekdays", "every n days", "at rest")},
    habit_weekdays TEXT NOT NULL DEFAULT '',
    habit_every_days INTEGER CHECK (habit_every_days > 0),
    stake TEXT NOT NULL {_words("stake", "time only", "date", "calendar")},
    place TEXT NOT NULL DEFAULT '',
    reach TEXT NOT NULL {_words("reach", "at hand", "only at", "out of reach")},
    belongs_to TEXT NOT NULL DEFAULT '',
    job_number TEXT NOT NULL DEFAULT '',
    calibre TEXT NOT NULL DEFAULT '',
    vibrations_per_hour INTEGER CHECK (vibrations_per_hour > 0),
    other_springs TEXT NOT NULL DEFAULT '',
    screw_down_crown INTEGER NOT NULL DEFAULT 0 CHECK (screw_down_crown IN (0, 1)),
    note TEXT NOT NULL DEFAULT '',
    value TEXT NOT NULL DEFAULT '',
    serial TEXT NOT NULL DEFAULT '',
    added_utc TEXT NOT NULL,
    archived_utc TEXT,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1,
    log_counter INTEGER NOT NULL DEFAULT 0
);
CREATE UNIQUE INDEX watch_nickname ON watch(nickname COLLATE NOCASE) WHERE voided_by IS NULL;

CREATE TABLE winding ({LOG_COLUMNS},
    amount TEXT NOT NULL {_words("amount", "full", "part", "unsure")},
    crown_turns REAL CHECK (crown_turns > 0),
    found TEXT NOT NULL {_words("found", "going", "stopped", "not noticed")},
    hands TEXT NOT NULL {_words("hands", "set now", "left", "not set", "unknown")},
    date_set INTEGER NOT NULL DEFAULT 0 CHECK (date_set IN (0, 1)),{SHOWN_COLUMNS}
);

CREATE TABLE sighting ({LOG_COLUMNS},
    seen TEXT NOT NULL {_words("seen", "going", "stopped", "stopped on purpose", "not noticed")},
    indicator_reading REAL CHECK (indicator_reading >= 0),{SHOWN_COLUMNS}
);

CREATE TABLE wear ({LOG_COLUMNS},
    act TEXT NOT NULL {_words("act", "put on", "laid down")},
    worn_by TEXT NOT NULL REFERENCES person(uid)
);

CREATE TABLE service ({LOG_COLUMNS},
    work_done TEXT NOT NULL DEFAULT '',
    done_by TEXT NOT NULL DEFAULT '',
    cost TEXT NOT NULL DEFAULT ''
);

CREATE INDEX winding_watch ON winding(watch_uid, at_utc);
CREATE INDEX sighting_watch ON sighting(watch_uid, at_utc);
CREATE INDEX wear_watch ON wear(watch_uid, at_utc);
CREATE INDEX service_watch ON service(watch_uid, at_utc);

CREATE TABLE setting (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL,
    version INTEGER NOT NULL DEFAULT 1
);

CREATE TABLE command_log (
    number INTEGER PRIMARY KEY,
    uid TEXT NOT NULL UNIQUE,
    batch TEXT NOT NULL,
    kind TEXT NOT NULL,
    payload TEXT NOT NULL,
    before TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    at_utc TEXT NOT NULL,
    zone TEXT NOT NULL,
    undone_by TEXT
);
CREATE INDEX command_log_batch ON command_log(batch);

CREATE TABLE estimate (
    watch_uid TEXT PRIMARY KEY REFERENCES watch(uid),
    log_counter INTEGER NOT NULL,
    model_version TEXT NOT NULL,
    day TEXT NOT NULL,
    answer TEXT NOT NULL
);

CREATE TABLE reminder (
    uid TEXT PRIMARY KEY,
    kind TEXT NOT NULL {_words("kind", "round", "last call", "look", "winder", "cue", "run")},
    subject_uid TEXT NOT NULL,
    episode TEXT NOT NULL,
    ordinal INTEGER NOT NULL DEFAULT 1,
    due_utc TEXT NOT NULL,
    useful_until_utc TEXT NOT NULL,
    facts TEXT NOT NULL DEFAULT '{{}}',
    state TEXT NOT NULL {_words("state", "planned", "due", "closed", "withdrawn")},
    closed_by TEXT {_words("closed_by", "wound", "done", "lapsed")},
    planned_at_utc TEXT NOT NULL,
    changed_at_utc TEXT NOT NULL,
    UNIQUE (kind, subject_uid, episode, ordinal)
);
CREATE INDEX reminder_due ON reminder(state, due_utc);

CREATE TABLE delivery (
    uid TEXT PRIMARY KEY,
    reminder_uid TEXT NOT NULL REFERENCES reminder(uid),
    channel TEXT NOT NULL,
    state TEXT NOT NULL {_words("state", "waiting", "claimed", "sent", "possibly twice", "given up")},
    claimed_until_utc TEXT,
    tries INTEGER NOT NULL DEFAULT 0,
    unanswered INTEGER NOT NULL DEFAULT 0,
    next_try_utc TEXT NOT NULL,
    sent_at_utc TEXT,
    last_error TEXT NOT NULL DEFAULT '',
    UNIQUE (reminder_uid, channel)
);
CREATE INDEX delivery_next ON delivery(state, next_try_utc);
"""

CUES = f"""
CREATE TABLE cue (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    step TEXT NOT NULL {_words("step", "keep an eye", "service advised")},
    service_utc TEXT,
    raised_utc TEXT NOT NULL,
    quiet_until_utc TEXT,
    cleared_utc TEXT,
    cleared_by TEXT {_words("cleared_by", "service", "evidence")},
    version INTEGER NOT NULL DEFAULT 1
);
CREATE UNIQUE INDEX cue_open ON cue(watch_uid) WHERE cleared_utc IS NULL;

CREATE TABLE cue_step (
    cue_uid TEXT NOT NULL REFERENCES cue(uid),
    ordinal INTEGER NOT NULL,
    why TEXT NOT NULL {_words("why", "raised", "worse", "better")},
    step TEXT NOT NULL {_words("step", "keep an eye", "service advised")},
    at_utc TEXT NOT NULL,
    facts TEXT NOT NULL,
    PRIMARY KEY (cue_uid, ordinal)
);

ALTER TABLE watch ADD COLUMN looks_offered INTEGER NOT NULL DEFAULT 0 CHECK (looks_offered IN (0, 1));
ALTER TABLE watch ADD COLUMN least_reserve_h REAL CHECK (least_reserve_h > 0);
ALTER TABLE winding ADD COLUMN side_spring_used INTEGER NOT NULL DEFAULT 0 CHECK (side_spring_used IN (0, 1));
ALTER TABLE sighting ADD COLUMN side_spring_used INTEGER NOT NULL DEFAULT 0 CHECK (side_spring_used IN (0, 1));
ALTER TABLE estimate ADD COLUMN threshold REAL NOT NULL DEFAULT 0.1;
"""

PHOTOGRAPHS = f"""
CREATE TABLE attachment (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    of_uid TEXT NOT NULL,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    media_type TEXT NOT NULL {_words("media_type", "image/jpeg", "image/png", "image/webp")},
    size_bytes INTEGER NOT NULL CHECK (size_bytes > 0),
    unreadable INTEGER NOT NULL DEFAULT 0 CHECK (unreadable IN (0, 1)),
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE INDEX attachment_watch ON attachment(watch_uid);
CREATE INDEX wear_worn_by ON wear(worn_by, at_utc);
"""

SENSORS = f"""
CREATE TABLE sensor (
    uid TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    kind TEXT NOT NULL {_words("kind", "rest", "winder")},
    topic TEXT NOT NULL,
    written TEXT NOT NULL {_words("written", "plain", "json", "senml")},
    value_at TEXT NOT NULL DEFAULT '',
    time_at TEXT,
    direction_at TEXT,
    record TEXT NOT NULL DEFAULT '',
    going_words TEXT NOT NULL DEFAULT '',
    stopped_words TEXT NOT NULL DEFAULT '',
    clockwise_words TEXT NOT NULL DEFAULT '',
    anticlockwise_words TEXT NOT NULL DEFAULT '',
    reports TEXT NOT NULL {_words("reports", "boolean", "level", "beats", "counter", "increments", "turning", "power")},
    upper REAL,
    lower REAL,
    vibrations_per_hour REAL CHECK (vibrations_per_hour > 0),
    tolerance REAL CHECK (tolerance > 0),
    window_s REAL CHECK (window_s > 0),
    per_turn REAL CHECK (per_turn > 0),
    wraps_at REAL CHECK (wraps_at > 0),
    restarts_at_zero INTEGER NOT NULL DEFAULT 0 CHECK (restarts_at_zero IN (0, 1)),
    turns_per_min REAL CHECK (turns_per_min > 0),
    above_w REAL CHECK (above_w >= 0),
    direction TEXT NOT NULL DEFAULT 'not known' {_words("direction", "clockwise", "anticlockwise", "not known", "sign", "word")},
    expected_s REAL NOT NULL CHECK (expected_s > 0),
    confirm_readings INTEGER NOT NULL DEFAULT 3 CHECK (confirm_readings > 0),
    confirm_s REAL NOT NULL DEFAULT 120 CHECK (confirm_s >= 0),
    added_utc TEXT NOT NULL,
    archived_utc TEXT,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);

CREATE TABLE sensor_watch (
    uid TEXT PRIMARY KEY,
    sensor_uid TEXT NOT NULL REFERENCES sensor(uid),
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    from_utc TEXT NOT NULL,
    to_utc TEXT CHECK (to_utc >= from_utc),
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE INDEX sensor_watch_sensor ON sensor_watch(sensor_uid, from_utc);
CREATE INDEX sensor_watch_watch ON sensor_watch(watch_uid, from_utc);
"""

SENSOR_ANSWERS = f"""
CREATE TABLE sensor_answer (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    sensor_uid TEXT NOT NULL REFERENCES sensor(uid),
    at_utc TEXT NOT NULL,
    word TEXT NOT NULL {_words("word", "stopped", "lifted", "not wound", "the log", "the sensor")},
    of_uid TEXT,
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT
);
CREATE INDEX sensor_answer_watch ON sensor_answer(watch_uid);
"""

UNDONE = "CREATE INDEX command_log_undone ON command_log(undone_by) WHERE undone_by IS NOT NULL;\n"
"""So that an undo is told with what it took back."""

ABSENCES = """
CREATE TABLE absence (
    uid TEXT PRIMARY KEY,
    leave_utc TEXT NOT NULL,
    back_utc TEXT NOT NULL CHECK (back_utc > leave_utc),
    taken TEXT NOT NULL DEFAULT '[]',
    zone TEXT NOT NULL,
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT,
    replaces TEXT
);
"""

CHOSEN_ROUNDS = """
CREATE TABLE chosen_round (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    wind_uid TEXT REFERENCES winding(uid),
    round_utc TEXT NOT NULL,
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT
);
CREATE UNIQUE INDEX chosen_round_watch ON chosen_round(watch_uid) WHERE voided_by IS NULL;
"""

WINDER_FIGURES = f"""
ALTER TABLE watch ADD COLUMN winder_turns_a_day REAL CHECK (winder_turns_a_day > 0);
ALTER TABLE watch ADD COLUMN winder_way TEXT {_words("winder_way", "clockwise", "anticlockwise", "both")};
ALTER TABLE watch ADD COLUMN winder_pause_h REAL CHECK (winder_pause_h > 0);
ALTER TABLE watch ADD COLUMN wear_fills_h REAL CHECK (wear_fills_h > 0);
"""

ON_WINDER = f"""
CREATE TABLE on_winder ({LOG_COLUMNS},
    act TEXT NOT NULL {_words("act", "on", "off")},
    turns_a_day REAL CHECK (turns_a_day > 0)
);
CREATE INDEX on_winder_watch ON on_winder(watch_uid, at_utc);
"""

CHANNELS = f"""
CREATE TABLE channel_address (
    uid TEXT PRIMARY KEY,
    address TEXT NOT NULL
);

CREATE TABLE channel (
    uid TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    address_uid TEXT NOT NULL REFERENCES channel_address(uid),
    paused INTEGER NOT NULL DEFAULT 0 CHECK (paused IN (0, 1)),
    added_utc TEXT NOT NULL,
    removed_utc TEXT,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);

CREATE TABLE channel_rest (
    channel_uid TEXT PRIMARY KEY REFERENCES channel(uid),
    failures INTEGER NOT NULL CHECK (failures > 0),
    since_utc TEXT NOT NULL,
    until_utc TEXT NOT NULL
);

CREATE TABLE snooze (
    uid TEXT PRIMARY KEY,
    reminder_uid TEXT NOT NULL REFERENCES reminder(uid),
    until_utc TEXT NOT NULL,
    telling INTEGER NOT NULL CHECK (telling > 1),
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT,
    UNIQUE (reminder_uid, telling)
);

ALTER TABLE delivery RENAME TO delivery_before;
DROP INDEX delivery_next;
CREATE TABLE delivery (
    uid TEXT PRIMARY KEY,
    reminder_uid TEXT NOT NULL REFERENCES reminder(uid),
    channel TEXT NOT NULL,
    telling INTEGER NOT NULL DEFAULT 1 CHECK (telling > 0),
    state TEXT NOT NULL {_words("state", "waiting", "claimed", "sent", "possibly twice", "given up")},
    claimed_until_utc TEXT,
    tries INTEGER NOT NULL DEFAULT 0,
    unanswered INTEGER NOT NULL DEFAULT 0,
    next_try_utc TEXT NOT NULL,
    sent_at_utc TEXT,
    last_error TEXT NOT NULL DEFAULT '',
    UNIQUE (reminder_uid, channel, telling)
);
INSERT INTO delivery (uid, reminder_uid, channel, state, claimed_until_utc, tries, unanswered, next_try_utc, sent_at_utc,
    last_error)
SELECT uid, reminder_uid, channel, state, claimed_until_utc, tries, unanswered, next_try_utc, sent_at_utc, last_error
FROM delivery_before;
DROP TABLE delivery_before;
CREATE INDEX delivery_next ON delivery(state, next_try_utc);
"""  # noqa: S608 -- our own words alone
