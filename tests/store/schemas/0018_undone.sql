BEGIN TRANSACTION;
CREATE TABLE "_sqlite_migrations" (
   "id" INTEGER PRIMARY KEY,
   "migration_set" TEXT,
   "name" TEXT,
   "applied_at" TEXT
);
INSERT INTO "_sqlite_migrations" VALUES(1,'going','m0001_spine','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(2,'going','m0002_cues','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(3,'going','m0003_photographs','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(4,'going','m0004_sensors','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(5,'going','m0005_sensor_answers','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(6,'going','m0006_chosen_rounds','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(7,'going','m0007_winder_figures','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(8,'going','m0008_on_winder','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(9,'going','m0009_channels','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(10,'going','m0010_absences','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(11,'going','m0011_service_book','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(12,'going','m0012_barrels','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(13,'going','m0013_access','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(14,'going','m0014_timing_readings','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(15,'going','m0015_bench_tests','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(16,'going','m0016_bench_signs','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(17,'going','m0017_portraits','2026-11-25 07:25:00+00:00');
INSERT INTO "_sqlite_migrations" VALUES(18,'going','m0018_undone','2026-11-25 07:25:00+00:00');
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
CREATE TABLE barrel (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    works TEXT NOT NULL CHECK (works IN ('going barrel', 'fusee', 'stop-work')),
    drum_diameter_mm REAL CHECK (drum_diameter_mm > 0),
    arbor_diameter_mm REAL CHECK (arbor_diameter_mm > 0),
    thickness_mm REAL CHECK (thickness_mm > 0),
    height_mm REAL CHECK (height_mm > 0),
    length_mm REAL CHECK (length_mm > 0),
    modulus_gpa REAL CHECK (modulus_gpa > 0),
    alloy TEXT NOT NULL,
    free_turns REAL,
    efficiency REAL CHECK (efficiency > 0 AND efficiency <= 1),
    outer_end TEXT CHECK (outer_end IN ('clamped', 'eyelet')),
    hours_per_turn REAL CHECK (hours_per_turn > 0),
    barrel_teeth INTEGER CHECK (barrel_teeth > 0),
    pinion_leaves INTEGER CHECK (pinion_leaves > 0),
    wheel_hours REAL CHECK (wheel_hours > 0),
    least_torque_nmm REAL CHECK (least_torque_nmm >= 0),
    barrels INTEGER CHECK (barrels > 0),
    arrangement TEXT NOT NULL CHECK (arrangement IN ('series', 'parallel')),
    gauge_full_nmm REAL CHECK (gauge_full_nmm > 0),
    gauge_later_nmm REAL CHECK (gauge_later_nmm >= 0),
    gauge_turns REAL CHECK (gauge_turns > 0),
    limit_mpa REAL CHECK (limit_mpa > 0),
    source TEXT CHECK (source IN ('measured', 'from the supplier')),
    note TEXT NOT NULL,
    noted_at_utc TEXT NOT NULL,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE TABLE bench_sign (
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
    replaces TEXT,
    sign TEXT NOT NULL CHECK (sign IN ('run-down', 'turns from stopped', 'turns from let down', 'turns left', 'amplitude full', 'amplitude after 24 h', 'amplitude at equal turns', 'torque at equal turns', 'came', 'stops at one hour', 'crown and wear', 'rate')),
    word TEXT NOT NULL DEFAULT '',
    figure REAL,
    expected REAL
);
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
CREATE TABLE channel_address (
    uid TEXT PRIMARY KEY,
    address TEXT NOT NULL
);
CREATE TABLE channel_rest (
    channel_uid TEXT PRIMARY KEY REFERENCES channel(uid),
    failures INTEGER NOT NULL CHECK (failures > 0),
    since_utc TEXT NOT NULL,
    until_utc TEXT NOT NULL
);
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
INSERT INTO "command_log" VALUES(1,'baed8316-2394-8be3-9ebf-0ef44ae1e9c8','baed8316-2394-8be3-9ebf-0ef44ae1e9c8','RegisterWatch','{"uid":"baed8316-2394-8be3-9ebf-0ef44ae1e9c8","nickname":"Anna''s “best”","wound_by":"crown","crown_turns_to_full":null,"stated_reserve_h":42.0,"reserve_class":null,"indicator":"none","dial_hours":12,"date_window":false,"setting_details":"","habit":"keep going","habit_weekdays":[],"habit_every_days":null,"stake":"time only","place":"","reach":"at hand","belongs_to":"","job_number":"","calibre":"","vibrations_per_hour":null,"other_springs":"","screw_down_crown":false,"note":"","value":"","serial":""}','[{"table": "watch", "key": "baed8316-2394-8be3-9ebf-0ef44ae1e9c8", "before": null}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
INSERT INTO "command_log" VALUES(2,'262121c5-372b-88af-bae6-ff0d3d138d9e','262121c5-372b-88af-bae6-ff0d3d138d9e','EditWatch','{"uid":"262121c5-372b-88af-bae6-ff0d3d138d9e","watch_uid":"baed8316-2394-8be3-9ebf-0ef44ae1e9c8","version":null,"nickname":"Anna","wound_by":"crown","crown_turns_to_full":null,"stated_reserve_h":40.5,"reserve_class":null,"indicator":"none","dial_hours":12,"date_window":false,"setting_details":"","habit":"keep going","habit_weekdays":[],"habit_every_days":null,"stake":"time only","place":"","reach":"at hand","belongs_to":"","job_number":"","calibre":"","vibrations_per_hour":null,"other_springs":"","screw_down_crown":false,"note":"","value":"","serial":""}','[{"table": "watch", "key": "baed8316-2394-8be3-9ebf-0ef44ae1e9c8", "before": {"nickname": "Anna''s “best”", "wound_by": "crown", "crown_turns_to_full": null, "stated_reserve_h": 42.0, "reserve_class": null, "indicator": "none", "dial_hours": 12, "date_window": 0, "setting_details": "", "habit": "keep going", "habit_weekdays": "", "habit_every_days": null, "stake": "time only", "place": "", "reach": "at hand", "belongs_to": "", "job_number": "", "calibre": "", "vibrations_per_hour": null, "other_springs": "", "screw_down_crown": 0, "note": "", "value": "", "serial": ""}}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
INSERT INTO "command_log" VALUES(3,'9df6b026-a8c6-826e-bc3a-cd2370a16e93','9df6b026-a8c6-826e-bc3a-cd2370a16e93','LogService','{"uid":"9df6b026-a8c6-826e-bc3a-cd2370a16e93","watch_uid":"baed8316-2394-8be3-9ebf-0ef44ae1e9c8","at":"2026-11-24T06:30:00Z","zone":"Europe/Berlin","within_min":0.0,"note":"","replaces":null,"work_done":"cleaned; oiled","done_by":"","cost":""}','[{"table": "service", "key": "9df6b026-a8c6-826e-bc3a-cd2370a16e93", "before": null}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
INSERT INTO "command_log" VALUES(4,'9b58e681-45a7-8ca0-a199-57f3e5c88fd9','9b58e681-45a7-8ca0-a199-57f3e5c88fd9','LogWind','{"uid":"9b58e681-45a7-8ca0-a199-57f3e5c88fd9","watch_uid":"baed8316-2394-8be3-9ebf-0ef44ae1e9c8","at":"2026-11-24T06:30:00Z","zone":"Europe/Berlin","within_min":0.0,"note":"","replaces":null,"amount":"full","crown_turns":null,"found":"stopped","hands":"set now","date_set":false,"shown":"4:37","shown_date":null}','[{"table": "winding", "key": "9b58e681-45a7-8ca0-a199-57f3e5c88fd9", "before": null}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
INSERT INTO "command_log" VALUES(5,'91dc2c07-c412-833e-8a42-a26b9d1666c0','91dc2c07-c412-833e-8a42-a26b9d1666c0','LogSighting','{"uid":"91dc2c07-c412-833e-8a42-a26b9d1666c0","watch_uid":"baed8316-2394-8be3-9ebf-0ef44ae1e9c8","at":"2026-11-24T06:30:00Z","zone":"Europe/Berlin","within_min":30.0,"note":"","replaces":null,"seen":"going","shown":null,"shown_date":null,"indicator_reading":null}','[{"table": "sighting", "key": "91dc2c07-c412-833e-8a42-a26b9d1666c0", "before": null}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
INSERT INTO "command_log" VALUES(6,'c47fbc5d-87a1-8981-a1dd-f52ba9ad2b27','c47fbc5d-87a1-8981-a1dd-f52ba9ad2b27','LogWear','{"uid":"c47fbc5d-87a1-8981-a1dd-f52ba9ad2b27","watch_uid":"baed8316-2394-8be3-9ebf-0ef44ae1e9c8","at":"2026-11-24T06:30:00Z","zone":"Europe/Berlin","within_min":0.0,"note":"","replaces":null,"act":"put on","worn_by":null}','[{"table": "wear", "key": "c47fbc5d-87a1-8981-a1dd-f52ba9ad2b27", "before": null}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
INSERT INTO "command_log" VALUES(7,'445be54d-48a2-8629-8369-c84c61cd0929','445be54d-48a2-8629-8369-c84c61cd0929','VoidEntry','{"uid":"445be54d-48a2-8629-8369-c84c61cd0929","entry_uid":"9b58e681-45a7-8ca0-a199-57f3e5c88fd9"}','[{"table": "winding", "key": "9b58e681-45a7-8ca0-a199-57f3e5c88fd9", "before": {"voided_by": null}}]','4c102969-7ee3-8871-9d3a-14a2add817c4','page','2026-11-25T07:25:00Z','Europe/Berlin',NULL);
CREATE TABLE cue (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    step TEXT NOT NULL CHECK (step IN ('keep an eye', 'service advised')),
    service_utc TEXT,
    raised_utc TEXT NOT NULL,
    quiet_until_utc TEXT,
    cleared_utc TEXT,
    cleared_by TEXT CHECK (cleared_by IN ('service', 'evidence')),
    version INTEGER NOT NULL DEFAULT 1
);
CREATE TABLE cue_step (
    cue_uid TEXT NOT NULL REFERENCES cue(uid),
    ordinal INTEGER NOT NULL,
    why TEXT NOT NULL CHECK (why IN ('raised', 'worse', 'better')),
    step TEXT NOT NULL CHECK (step IN ('keep an eye', 'service advised')),
    at_utc TEXT NOT NULL,
    facts TEXT NOT NULL,
    PRIMARY KEY (cue_uid, ordinal)
);
CREATE TABLE delivery (
    uid TEXT PRIMARY KEY,
    reminder_uid TEXT NOT NULL REFERENCES reminder(uid),
    channel TEXT NOT NULL,
    telling INTEGER NOT NULL DEFAULT 1 CHECK (telling > 0),
    state TEXT NOT NULL CHECK (state IN ('waiting', 'claimed', 'sent', 'possibly twice', 'given up')),
    claimed_until_utc TEXT,
    tries INTEGER NOT NULL DEFAULT 0,
    unanswered INTEGER NOT NULL DEFAULT 0,
    next_try_utc TEXT NOT NULL,
    sent_at_utc TEXT,
    last_error TEXT NOT NULL DEFAULT '',
    UNIQUE (reminder_uid, channel, telling)
);
CREATE TABLE estimate (
    watch_uid TEXT PRIMARY KEY REFERENCES watch(uid),
    log_counter INTEGER NOT NULL,
    model_version TEXT NOT NULL,
    day TEXT NOT NULL,
    answer TEXT NOT NULL
, threshold REAL NOT NULL DEFAULT 0.1);
CREATE TABLE on_winder (
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
    replaces TEXT,
    act TEXT NOT NULL CHECK (act IN ('on', 'off')),
    turns_a_day REAL CHECK (turns_a_day > 0)
);
CREATE TABLE person (
    uid TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    role TEXT NOT NULL CHECK (role IN ('owner', 'helper')),
    added_utc TEXT NOT NULL,
    version INTEGER NOT NULL DEFAULT 1
, secret_uid TEXT, removed_utc TEXT, voided_by TEXT);
INSERT INTO "person" VALUES('4c102969-7ee3-8871-9d3a-14a2add817c4','owner','owner','2026-11-25T07:25:00Z',1,NULL,NULL,NULL);
CREATE TABLE portrait (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    small_sha256 TEXT NOT NULL CHECK (length(small_sha256) = 64),
    size_bytes INTEGER NOT NULL CHECK (size_bytes > 0),
    chosen INTEGER NOT NULL DEFAULT 0 CHECK (chosen >= 0),
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE TABLE reminder (
    uid TEXT PRIMARY KEY,
    kind TEXT NOT NULL CHECK (kind IN ('round', 'last call', 'look', 'winder', 'cue', 'run')),
    subject_uid TEXT NOT NULL,
    episode TEXT NOT NULL,
    ordinal INTEGER NOT NULL DEFAULT 1,
    due_utc TEXT NOT NULL,
    useful_until_utc TEXT NOT NULL,
    facts TEXT NOT NULL DEFAULT '{}',
    state TEXT NOT NULL CHECK (state IN ('planned', 'due', 'closed', 'withdrawn')),
    closed_by TEXT CHECK (closed_by IN ('wound', 'done', 'lapsed')),
    planned_at_utc TEXT NOT NULL,
    changed_at_utc TEXT NOT NULL,
    UNIQUE (kind, subject_uid, episode, ordinal)
);
INSERT INTO "reminder" VALUES('3cda3e3c-be75-8693-988e-9c2050f65f51','last call','baed8316-2394-8be3-9ebf-0ef44ae1e9c8','9b58e681-45a7-8ca0-a199-57f3e5c88fd9',1,'2026-11-25T11:14:33Z','2026-11-25T14:14:33Z','{"nickname": "Anna", "wind_by_utc": "2026-11-25T14:14:33Z", "started_utc": "2026-11-24T06:30:00Z"}','withdrawn',NULL,'2026-11-25T07:25:00Z','2026-11-25T07:25:00Z');
CREATE TABLE secret (
    uid TEXT PRIMARY KEY,
    hash TEXT NOT NULL
);
CREATE TABLE sensor (
    uid TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('rest', 'winder')),
    topic TEXT NOT NULL,
    written TEXT NOT NULL CHECK (written IN ('plain', 'json', 'senml')),
    value_at TEXT NOT NULL DEFAULT '',
    time_at TEXT,
    direction_at TEXT,
    record TEXT NOT NULL DEFAULT '',
    going_words TEXT NOT NULL DEFAULT '',
    stopped_words TEXT NOT NULL DEFAULT '',
    clockwise_words TEXT NOT NULL DEFAULT '',
    anticlockwise_words TEXT NOT NULL DEFAULT '',
    reports TEXT NOT NULL CHECK (reports IN ('boolean', 'level', 'beats', 'counter', 'increments', 'turning', 'power')),
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
    direction TEXT NOT NULL DEFAULT 'not known' CHECK (direction IN ('clockwise', 'anticlockwise', 'not known', 'sign', 'word')),
    expected_s REAL NOT NULL CHECK (expected_s > 0),
    confirm_readings INTEGER NOT NULL DEFAULT 3 CHECK (confirm_readings > 0),
    confirm_s REAL NOT NULL DEFAULT 120 CHECK (confirm_s >= 0),
    added_utc TEXT NOT NULL,
    archived_utc TEXT,
    voided_by TEXT,
    version INTEGER NOT NULL DEFAULT 1
);
CREATE TABLE sensor_answer (
    uid TEXT PRIMARY KEY,
    watch_uid TEXT NOT NULL REFERENCES watch(uid),
    sensor_uid TEXT NOT NULL REFERENCES sensor(uid),
    at_utc TEXT NOT NULL,
    word TEXT NOT NULL CHECK (word IN ('stopped', 'lifted', 'not wound', 'the log', 'the sensor')),
    of_uid TEXT,
    noted_at_utc TEXT NOT NULL,
    person_uid TEXT NOT NULL REFERENCES person(uid),
    origin TEXT NOT NULL,
    voided_by TEXT
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
CREATE TABLE service (
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
    replaces TEXT,
    work_done TEXT NOT NULL DEFAULT '',
    done_by TEXT NOT NULL DEFAULT '',
    cost TEXT NOT NULL DEFAULT ''
, occasion TEXT NOT NULL DEFAULT '', lubricants TEXT NOT NULL DEFAULT '');
INSERT INTO "service" VALUES('9df6b026-a8c6-826e-bc3a-cd2370a16e93','baed8316-2394-8be3-9ebf-0ef44ae1e9c8','2026-11-24T06:30:00Z','Europe/Berlin',0.0,'2026-11-25T07:25:00Z','4c102969-7ee3-8871-9d3a-14a2add817c4','page','',NULL,NULL,'cleaned; oiled','','','','');
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
CREATE TABLE setting (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL,
    version INTEGER NOT NULL DEFAULT 1
);
INSERT INTO "setting" VALUES('zone','"Europe/Berlin"',1);
INSERT INTO "setting" VALUES('stops_a_year_time_only','12.0',1);
INSERT INTO "setting" VALUES('stops_a_year_date','4.0',1);
INSERT INTO "setting" VALUES('stops_a_year_calendar','0.05',1);
INSERT INTO "setting" VALUES('notice_h','3.0',1);
CREATE TABLE sighting (
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
    replaces TEXT,
    seen TEXT NOT NULL CHECK (seen IN ('going', 'stopped', 'stopped on purpose', 'not noticed')),
    indicator_reading REAL CHECK (indicator_reading >= 0),
    shown TEXT,
    shown_date INTEGER CHECK (shown_date BETWEEN 1 AND 31),
    nothing_between INTEGER CHECK (nothing_between IN (0, 1))
, side_spring_used INTEGER NOT NULL DEFAULT 0 CHECK (side_spring_used IN (0, 1)));
INSERT INTO "sighting" VALUES('91dc2c07-c412-833e-8a42-a26b9d1666c0','baed8316-2394-8be3-9ebf-0ef44ae1e9c8','2026-11-24T06:30:00Z','Europe/Berlin',30.0,'2026-11-25T07:25:00Z','4c102969-7ee3-8871-9d3a-14a2add817c4','page','',NULL,NULL,'going',NULL,NULL,NULL,NULL,0);
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
CREATE TABLE timing_reading (
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
    replaces TEXT,
    position TEXT NOT NULL CHECK (position IN ('CH', 'CB', '3H', '6H', '9H', '12H')),
    occasion TEXT NOT NULL CHECK (occasion IN ('before service', 'after service', 'in between')),
    since_wind_min REAL CHECK (since_wind_min >= 0),
    rate_s_per_day REAL,
    amplitude_deg REAL CHECK (amplitude_deg > 0),
    beat_error_ms REAL,
    lift_angle_deg REAL CHECK (lift_angle_deg > 0),
    vibrations_per_hour INTEGER CHECK (vibrations_per_hour > 0),
    temperature_c REAL,
    programme_day INTEGER CHECK (programme_day BETWEEN 1 AND 15)
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
CREATE TABLE watch (
    uid TEXT PRIMARY KEY,
    nickname TEXT NOT NULL,
    wound_by TEXT NOT NULL CHECK (wound_by IN ('crown', 'crown and rotor', 'rotor only', 'key', 'weights')),
    crown_turns_to_full REAL CHECK (crown_turns_to_full > 0),
    stated_reserve_h REAL CHECK (stated_reserve_h > 0),
    reserve_class TEXT CHECK (reserve_class IN ('a day or two', 'three days', 'eight days', 'a month')),
    indicator TEXT NOT NULL CHECK (indicator IN ('none', 'fraction', 'hours')),
    dial_hours INTEGER NOT NULL CHECK (dial_hours IN (12, 24)),
    date_window INTEGER NOT NULL CHECK (date_window IN (0, 1)),
    setting_details TEXT NOT NULL DEFAULT '',
    habit TEXT NOT NULL CHECK (habit IN ('when worn', 'keep going', 'on weekdays', 'every n days', 'at rest')),
    habit_weekdays TEXT NOT NULL DEFAULT '',
    habit_every_days INTEGER CHECK (habit_every_days > 0),
    stake TEXT NOT NULL CHECK (stake IN ('time only', 'date', 'calendar')),
    place TEXT NOT NULL DEFAULT '',
    reach TEXT NOT NULL CHECK (reach IN ('at hand', 'only at', 'out of reach')),
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
, looks_offered INTEGER NOT NULL DEFAULT 0 CHECK (looks_offered IN (0, 1)), least_reserve_h REAL CHECK (least_reserve_h > 0), winder_turns_a_day REAL CHECK (winder_turns_a_day > 0), winder_way TEXT CHECK (winder_way IN ('clockwise', 'anticlockwise', 'both')), winder_pause_h REAL CHECK (winder_pause_h > 0), wear_fills_h REAL CHECK (wear_fills_h > 0), came_in TEXT, promised_for TEXT, went_out TEXT, service_every_years REAL CHECK (service_every_years > 0), service_due_on TEXT, lift_angle_deg REAL CHECK (lift_angle_deg > 0));
INSERT INTO "watch" VALUES('baed8316-2394-8be3-9ebf-0ef44ae1e9c8','Anna','crown',NULL,40.5,NULL,'none',12,0,'','keep going','',NULL,'time only','','at hand','','','',NULL,'',0,'','','','2026-11-25T07:25:00Z',NULL,NULL,2,7,0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE wear (
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
    replaces TEXT,
    act TEXT NOT NULL CHECK (act IN ('put on', 'laid down')),
    worn_by TEXT NOT NULL REFERENCES person(uid)
);
INSERT INTO "wear" VALUES('c47fbc5d-87a1-8981-a1dd-f52ba9ad2b27','baed8316-2394-8be3-9ebf-0ef44ae1e9c8','2026-11-24T06:30:00Z','Europe/Berlin',0.0,'2026-11-25T07:25:00Z','4c102969-7ee3-8871-9d3a-14a2add817c4','page','',NULL,NULL,'put on','4c102969-7ee3-8871-9d3a-14a2add817c4');
CREATE TABLE winding (
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
    replaces TEXT,
    amount TEXT NOT NULL CHECK (amount IN ('full', 'part', 'unsure')),
    crown_turns REAL CHECK (crown_turns > 0),
    found TEXT NOT NULL CHECK (found IN ('going', 'stopped', 'not noticed')),
    hands TEXT NOT NULL CHECK (hands IN ('set now', 'left', 'not set', 'unknown')),
    date_set INTEGER NOT NULL DEFAULT 0 CHECK (date_set IN (0, 1)),
    shown TEXT,
    shown_date INTEGER CHECK (shown_date BETWEEN 1 AND 31),
    nothing_between INTEGER CHECK (nothing_between IN (0, 1))
, side_spring_used INTEGER NOT NULL DEFAULT 0 CHECK (side_spring_used IN (0, 1)));
INSERT INTO "winding" VALUES('9b58e681-45a7-8ca0-a199-57f3e5c88fd9','baed8316-2394-8be3-9ebf-0ef44ae1e9c8','2026-11-24T06:30:00Z','Europe/Berlin',0.0,'2026-11-25T07:25:00Z','4c102969-7ee3-8871-9d3a-14a2add817c4','page','','445be54d-48a2-8629-8369-c84c61cd0929',NULL,'full',NULL,'stopped','set now',0,'4:37',NULL,NULL,0);
CREATE TABLE wrong_try (
    source TEXT PRIMARY KEY,
    failures INTEGER NOT NULL CHECK (failures > 0),
    last_utc TEXT NOT NULL
);
CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"
    ON "_sqlite_migrations" ("migration_set", "name");
CREATE UNIQUE INDEX watch_nickname ON watch(nickname COLLATE NOCASE) WHERE voided_by IS NULL;
CREATE INDEX winding_watch ON winding(watch_uid, at_utc);
CREATE INDEX sighting_watch ON sighting(watch_uid, at_utc);
CREATE INDEX wear_watch ON wear(watch_uid, at_utc);
CREATE INDEX service_watch ON service(watch_uid, at_utc);
CREATE INDEX command_log_batch ON command_log(batch);
CREATE INDEX reminder_due ON reminder(state, due_utc);
CREATE UNIQUE INDEX cue_open ON cue(watch_uid) WHERE cleared_utc IS NULL;
CREATE INDEX wear_worn_by ON wear(worn_by, at_utc);
CREATE INDEX sensor_watch_sensor ON sensor_watch(sensor_uid, from_utc);
CREATE INDEX sensor_watch_watch ON sensor_watch(watch_uid, from_utc);
CREATE INDEX sensor_answer_watch ON sensor_answer(watch_uid);
CREATE UNIQUE INDEX chosen_round_watch ON chosen_round(watch_uid) WHERE voided_by IS NULL;
CREATE INDEX on_winder_watch ON on_winder(watch_uid, at_utc);
CREATE INDEX delivery_next ON delivery(state, next_try_utc);
CREATE INDEX service_part_service ON service_part(service_uid, ordinal);
CREATE INDEX attachment_watch ON attachment(watch_uid);
CREATE UNIQUE INDEX barrel_watch ON barrel(watch_uid) WHERE voided_by IS NULL;
CREATE INDEX timing_reading_watch ON timing_reading(watch_uid, at_utc);
CREATE INDEX bench_test_watch ON bench_test(watch_uid);
CREATE INDEX bench_sign_watch ON bench_sign(watch_uid, at_utc);
CREATE INDEX portrait_watch ON portrait(watch_uid);
CREATE INDEX command_log_undone ON command_log(undone_by) WHERE undone_by IS NOT NULL;
COMMIT;
