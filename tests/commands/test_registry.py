"""Every command there is: applied and undone it leaves no trace; given twice it is given once."""

import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import NOW
from tests.cuesaid import say_cue
from tests.reminders.duly import last_call
from tracker.collection import open_collection, owner
from tracker.commands.base import Command, Who
from tracker.commands.build import build
from tracker.commands.door import COMMANDS, submit
from tracker.commands.undo import Undo
from tracker.store import channels, people
from tracker.store.store import Store
from tracker.uids import uid_of

AT = {"at": "2026-11-24T22:15+01:00", "zone": "Europe/Berlin"}
A, B, D, J, OLD = uid_of("a"), uid_of("b"), uid_of("d"), uid_of("job"), uid_of("old wind")
TRAY, SEAT, GONE = uid_of("tray"), uid_of("seat"), uid_of("gone")
STOP, PHOTO, TRIP = uid_of("found stopped"), uid_of("its dial"), uid_of("trip")
FRITZ, WORD, PROGRAM, OPENS = uid_of("Fritz"), uid_of("password"), uid_of("program"), uid_of("what opens")
PHONE, MAIL, CALL = uid_of("phone"), uid_of("address"), uid_of("last call")
CARE, PAPER = uid_of("care"), uid_of("paper")
FACE, BACK = uid_of("its face"), uid_of("its back")
SHOWN = {"sha256": "1" * 64, "small_sha256": "2" * 64, "size_bytes": "17"}
PICTURE = {"sha256": "0" * 64, "media_type": "image/png", "size_bytes": "17"}
WOUND, TEST = uid_of("wound for a test"), uid_of("test")
OF_A = {"watch_uid": A, **AT}

Given = tuple[str, dict[str, Any]]

BEFORE: Sequence[Given] = (
    ("RegisterWatch", {"uid": A, "nickname": "Anna", "wound_by": "rotor only", "stated_reserve_h": 42, "indicator": "fraction"}),
    ("RegisterWatch", {"uid": B, "nickname": "Berta", "note": 'runs "fast"'}),
    ("ArchiveWatch", {"watch_uid": B}),
    ("RegisterWatch", {"uid": D, "nickname": "Dora"}),
    ("LogWind", {"uid": WOUND, "watch_uid": D, "at": "2026-11-24T06:30Z", "zone": "UTC"}),
    ("ArchiveWatch", {"watch_uid": D}),
    ("RegisterWatch", {"uid": J, "nickname": "Job", "job_number": "W-1"}),
    ("LogWind", {"uid": OLD, **OF_A, "at": "2026-11-23T06:30Z"}),
    ("LogSighting", {"uid": STOP, **OF_A, "at": "2026-11-23T20:10Z", "seen": "stopped"}),
    ("AttachPhotograph", {"uid": PHOTO, "entry_uid": STOP, **PICTURE}),
    ("LogService", {"uid": CARE, **OF_A}),
    ("AttachFile", {"uid": PAPER, "of_uid": A, **PICTURE}),
    ("AddPortrait", {"uid": FACE, "watch_uid": A, **SHOWN}),
    ("AddPortrait", {"uid": BACK, "watch_uid": A, **SHOWN}),
    ("AddSensor", {"uid": TRAY, "name": "tray", "topic": "house/tray", "expected_s": 60}),
    ("AddSensor", {"uid": SEAT, "name": "other tray", "topic": "house/other", "expected_s": 60}),
    ("AddSensor", {"uid": GONE, "name": "gone", "topic": "house/gone", "expected_s": 60}),
    ("ArchiveSensor", {"sensor_uid": GONE}),
    ("LayOnSensor", {"sensor_uid": TRAY, "watch_uid": A, "at": "2026-11-23T06:30Z"}),
    ("ChooseRound", {"watch_uid": A, "at": "2026-11-27T06:30Z"}),
    ("AddChannel", {"uid": PHONE, "name": "Phone", "address_uid": MAIL}),
    ("KeepBarrel", {"watch_uid": A, "drum_diameter_mm": "11"}),
    ("AddPerson", {"uid": FRITZ, "name": "Fritz"}),
    ("AddToken", {"uid": PROGRAM, "name": "kitchen display", "secret_uid": OPENS}),
    ("StartTest", {"uid": TEST, "watch_uid": A, "wind_uid": OLD}),
    ("KeepAbsence", {"uid": TRIP, "leave": "2026-12-24T10:00Z", "back": "2026-12-26T10:00Z"}),
)  # fmt: skip

FIELDS_OF_A_SENSOR: dict[str, Any] = {
    "name": "seat", "kind": "winder", "topic": "box/+/state", "written": "json", "value_at": "/n", "time_at": "/t",
    "direction_at": "/d", "record": "urn:x", "going_words": "ja, oui", "stopped_words": "nein", "clockwise_words": "cw",
    "anticlockwise_words": "ccw", "reports": "counter", "upper": "0,5", "lower": "0,1", "vibrations_per_hour": 28800,
    "tolerance": "0,1", "window_s": 10, "per_turn": "2", "wraps_at": 65536, "restarts_at_zero": "yes", "turns_per_min": 4,
    "above_w": "1,5", "direction": "word", "expected_s": "600", "confirm_readings": "2", "confirm_s": "90",
}  # fmt: skip

SAMPLES: dict[str, dict[str, Any]] = {
    "RegisterWatch": {
        "nickname": "Clärchen", "wound_by": "crown and rotor", "crown_turns_to_full": "31,5", "stated_reserve_h": "192",
        "reserve_class": "eight days", "least_reserve_h": "170,5", "indicator": "hours", "dial_hours": "24", "date_window": "yes",
        "setting_details": "no date change 21–3", "habit": "on weekdays", "habit_weekdays": "Mon Sat", "stake": "calendar",
        "place": "safe", "reach": "only at", "belongs_to": "aunt", "job_number": "17", "calibre": "own",
        "came_in": "2026-11-20", "promised_for": "2026-12-10", "went_out": "2026-11-24", "service_every_years": "4,5",
        "service_due_on": "2030-01-01", "lift_angle_deg": "49,5",
        "vibrations_per_hour": 18000, "other_springs": "alarm", "screw_down_crown": "true", "looks_offered": "yes",
        "winder_turns_a_day": "650,5", "winder_way": "clockwise", "winder_pause_h": "12", "wear_fills_h": "9.5",
        "note": "a\nb", "value": "1 kg", "serial": "007",
    },
    "EditWatch": {"watch_uid": A, "version": 1, "nickname": "Anne", "habit": "every n days", "habit_every_days": 3},
    "ArchiveWatch": {"watch_uid": A},
    "BringBackWatch": {"watch_uid": B, "version": 2},
    "HandBack": {"watch_uid": J, "went_out": "2026-11-24"},
    "LogWind": {
        **OF_A, "amount": "part", "crown_turns": 12, "found": "stopped", "hands": "set now", "date_set": True,
        "nothing_between": True, "side_spring_used": "yes", "shown": "437", "shown_date": 24, "within_min": 5, "note": "in haste", "replaces": OLD,
    },
    "LogSighting": {**OF_A, "seen": "not noticed", "indicator_reading": "0,4", "within_min": 30, "nothing_between": True,
                    "side_spring_used": True},
    "LogWear": {**OF_A, "act": "laid down"},
    "LogWinder": {**OF_A, "act": "on", "turns_a_day": "650,5"},
    "LogService": {**OF_A, "occasion": "ran short", "lubricants": "thin oil",
                   "parts": [{"what": "mainspring", "before": "1,3 x 0,115 x 350", "after": "1.3 × 0.11 × 360 × 11"}, "gasket"],
                   "work_done": "new mainspring", "done_by": "the one round the corner", "cost": "a lot"},
    "LogSign": {**OF_A, "sign": "turns left", "word": "more", "figure": "1,5", "expected": 1},
    "AttachPhotograph": {**PICTURE, "entry_uid": STOP},
    "LogReading": {
        **OF_A, "position": "fh", "occasion": "after service", "since_wind_min": 30, "rate_s_per_day": "-4,2", "amplitude_deg": "285",
        "beat_error_ms": "0,3", "lift_angle_deg": 49, "vibrations_per_hour": 28800, "temperature_c": 23, "programme_day": 7,
    },
    "GiveUpReading": {"attachment_uid": PHOTO},
    "AttachFile": {**PICTURE, "of_uid": CARE, "media_type": "application/pdf", "title": "the bill"},
    "TakeOutFile": {"attachment_uid": PAPER},
    "AddPortrait": {"watch_uid": D, **SHOWN},
    "ShowPortraitFirst": {"portrait_uid": BACK},
    "TakeOutPortrait": {"portrait_uid": FACE},
    "VoidEntry": {"entry_uid": OLD},
    "ChangeSettings": {
        "zone": "America/St_Johns", "stops_a_year_time_only": 1, "stops_a_year_date": "0,5", "stops_a_year_calendar": 2,
        "notice_h": 12, "base_address": "http://192.168.1.20:8321/", "backup_folder": "/media/stick", "backup_daily": False,
        "fall_percent": "12,5", "service_interval_years": 5,
        "rounds_on_weekdays": "7.30, 1900", "rounds_at_weekends": "", "slack_min": "20", "publish_states": "yes", "bench_days": "Mon, Fri", "bench_from": "9.00", "bench_to": "1730", "workshop_name": "Pilot station", "first_steps_settled": "rounds phone", "quiet_from": "22.00", "quiet_to": "0700",
        "language": "en", "clock": "12 h", "dates": "day first", "decimal": "comma",
    },
    "KeepBarrel": {
        "watch_uid": A, "version": 1, "works": "stop-work", "drum_diameter_mm": "11,5", "arbor_diameter_mm": "3.4 mm",
        "thickness_mm": "115 µm", "height_mm": "0.05 in", "length_mm": "350", "modulus_gpa": "205", "alloy": "blued steel",
        "free_turns": "-2", "efficiency": "0,9", "outer_end": "eyelet", "hours_per_turn": "", "barrel_teeth": "78",
        "pinion_leaves": "12", "wheel_hours": "1", "least_torque_nmm": "3", "barrels": "2", "arrangement": "parallel",
        "gauge_full_nmm": "8", "gauge_later_nmm": "5,5", "gauge_turns": "4", "limit_mpa": "2000", "source": "measured",
        "note": "hooking worn",
    },
    "AcknowledgeCue": {"watch_uid": D, "months": "2"},
    "AddSensor": FIELDS_OF_A_SENSOR,
    "EditSensor": {**FIELDS_OF_A_SENSOR, "sensor_uid": TRAY, "version": 1},
    "ArchiveSensor": {"sensor_uid": TRAY},
    "BringBackSensor": {"sensor_uid": GONE, "version": 2},
    "LayOnSensor": {"sensor_uid": SEAT, "watch_uid": A, "at": "2026-11-24T22:15+01:00"},
    "TakeOffSensor": {"sensor_uid": TRAY, "at": "2026-11-24T22:15+01:00"},
    "AnswerSensor": {"watch_uid": A, "sensor_uid": TRAY, "at": "2026-11-24T21:00Z", "word": "the log", "entry_uid": STOP},
    "ChooseRound": {"watch_uid": A, "at": "2026-11-26T07:30+01:00"},
    "LetPlanDecide": {"watch_uid": A},
    "AddChannel": {"name": "Mail", "address_uid": MAIL},
    "PutOff": {"reminder_uid": CALL, "until": "2026-11-25T19:00Z"},
    "PauseChannel": {"channel_uid": PHONE, "paused": "yes"},
    "RemoveChannel": {"channel_uid": PHONE, "version": 1},
    "KeepAbsence": {"leave": "2026-12-04T10:00+01:00", "back": "2026-12-08T18:00Z", "taken": [A]},
    "DropAbsence": {"absence_uid": TRIP},
    "AddPerson": {"name": "Grete", "role": "owner"},
    "EditPerson": {"person_uid": FRITZ, "version": 1, "name": "Friedrich", "role": "owner"},
    "RemovePerson": {"person_uid": FRITZ},
    "SetPassword": {"person_uid": FRITZ, "secret_uid": WORD},
    "AddToken": {"name": "wall", "scope": "log", "expires": "2027-11-25T07:30Z", "secret_uid": WORD},
    "EndToken": {"token_uid": PROGRAM},
    "StartTest": {"watch_uid": D, "wind_uid": WOUND, "occasion": "after service", "position": "6H", "note": "new spring"},
    "EndTest": {"test_uid": TEST, "how": "broken off", "reason": "needed today"},
    "Undo": {},
}  # fmt: skip


def give(store: Store, who: Who, kind: str, fields: dict[str, Any]) -> Command:
    command = build(COMMANDS[kind], fields)
    submit(store, [command], who)
    return command


@pytest.fixture(scope="module")
def starting_point(starting_point: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a collection in which every sample can be given: made once, since it takes its time."""
    folder = tmp_path_factory.mktemp("used")
    shutil.copytree(starting_point, folder, dirs_exist_ok=True)
    store = open_collection(folder, NOW)
    use(store, owner(store, "page", NOW))
    store.close()
    return folder


def use(store: Store, who: Who) -> None:
    with store.change() as db:
        channels.keep_address(db, MAIL, "https://127.0.0.1/hook")
        people.keep_hash(db, OPENS, "of a token")
        db.execute("INSERT INTO secret (uid, hash) VALUES (?, 'of a password')", [WORD])
    for kind, fields in BEFORE:
        give(store, who, kind, fields)
    # Of a watch that is put away: no estimate moves its cue.
    say_cue(store, D, who.now)
    last_call(store, CALL, who.now, watch_uid=D)


def test_every_command_has_a_sample() -> None:
    assert set(SAMPLES) == set(COMMANDS)


@pytest.mark.parametrize("kind", sorted(SAMPLES.keys() - {"Undo"}))
def test_a_sample_uses_every_field_of_its_command(kind: str) -> None:
    same_for_all = {"uid", "version", "within_min", "note", "replaces", "worn_by"}
    free = {"EditWatch": set(COMMANDS["EditWatch"].model_fields)}.get(kind, set())
    given_elsewhere = {"LogSighting": {"shown", "shown_date"}, "RegisterWatch": {"habit_every_days"}}.get(kind, set())
    assert set(COMMANDS[kind].model_fields) - same_for_all - free - given_elsewhere <= set(SAMPLES[kind])


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_command_changes_something(kind: str, store: Store, who: Who, as_read: Callable[[Store], Any]) -> None:
    before = as_read(store)
    give(store, who, kind, SAMPLES[kind])
    assert as_read(store) != before


@pytest.mark.parametrize("kind", sorted(SAMPLES.keys() - {"Undo"}))
def test_a_command_undone_leaves_everything_as_it_was_read(
    kind: str, store: Store, who: Who, as_read: Callable[[Store], Any]
) -> None:
    before = as_read(store)
    give(store, who, kind, SAMPLES[kind])
    submit(store, [Undo()], who)
    assert as_read(store) == before


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_command_given_twice_is_one_change(
    kind: str, store: Store, who: Who, as_read: Callable[[Store], Any]
) -> None:
    command = build(COMMANDS[kind], SAMPLES[kind])
    first = submit(store, [command], who)
    after, images = as_read(store), store.reading().execute("SELECT * FROM command_log").fetchall()
    again = submit(store, [command], who)
    assert (first.applied, again.applied, again.repeated, again.batch) == (1, 0, 1, first.batch)
    assert as_read(store) == after
    assert store.reading().execute("SELECT * FROM command_log").fetchall() == images


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_command_is_recorded_with_who_when_and_from_where(kind: str, store: Store, who: Who) -> None:
    command = give(store, who, kind, SAMPLES[kind])
    record = store.reading().execute(
        "SELECT kind, person_uid, origin, at_utc, zone FROM command_log WHERE uid = ?", [command.uid]
    )
    assert record.fetchone() == (kind, who.person_uid, "page", "2026-11-25T07:25:00Z", who.zone)


@pytest.mark.parametrize("kind", SAMPLES)
def test_the_recorded_payload_builds_the_same_command(kind: str, store: Store, who: Who) -> None:
    command = give(store, who, kind, SAMPLES[kind])
    (payload,) = store.reading().execute("SELECT payload FROM command_log WHERE uid = ?", [command.uid]).fetchone()
    assert COMMANDS[kind].model_validate_json(payload) == command
