"""What leaves the house: messages and their links carry nicknames, and never places, values, serials or absences."""

import json
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.cuesaid import say_cue
from tests.dials import JPEG
from tests.reminders.channels import add
from tracker import cues, digests, feed, outbound, runs
from tracker.collection import owner, preferences
from tracker.commands.absence import KeepAbsence
from tracker.commands.attachment import attaching_to
from tracker.commands.base import Command
from tracker.commands.door import submit
from tracker.commands.log import LogService, LogWear, LogWind
from tracker.commands.register import RegisterWatch, WatchFields
from tracker.commands.settings import ChangeSettings
from tracker.figures import survey
from tracker.photofile import photograph
from tracker.reminders.answer import Answer
from tracker.reminders.message import Message
from tracker.reminders.outbox import replan, replan_winders
from tracker.reminders.plan import KeptWatch
from tracker.reminders.ring import ring
from tracker.reminders.winderfacts import WinderFacts
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)
HOUR = timedelta(hours=1)
ZONE = ZoneInfo("UTC")
BASE = "https://watches.example"
TEXTS = sorted(name for name, field in WatchFields.model_fields.items() if field.default == "")
"""Every field of a watch that takes free words."""
KEPT, RESTS, DORA, JOB = uid_of("kept"), uid_of("rests"), uid_of("dora"), uid_of("job")


def _words_of(nickname: str) -> dict[str, str]:
    # A customer's watch, which has a job's number, is told of to nobody.
    return {name: f"s3cret {name}" for name in TEXTS if name != "job_number"} | {"nickname": nickname}


def _give(store: Store, now: datetime, *commands: Command) -> None:
    submit(store, commands, owner(store, "page", now))


@pytest.fixture
def household(store: Store) -> Store:
    """Watches of which everything is said that can be, put in safe places and soon left alone."""
    add(store, "s3cret channel", "https://hook.example/s3cret")
    held = preferences(store).values.model_dump()
    _give(store, NOW, ChangeSettings(**held | {"zone": "UTC", "base_address": BASE, "notice_h": 3}))
    kinds: dict[str, dict[str, object]] = {
        KEPT: {"nickname": "Night ferry", "habit": "keep going", "stated_reserve_h": 40, "reach": "only at"},
        RESTS: {"nickname": "Boathouse", "habit": "at rest", "habit_every_days": 1},
        DORA: {"nickname": "Dora"},
    }
    for uid, kind in kinds.items():
        _give(store, NOW, RegisterWatch.model_validate({"uid": uid, **_words_of(""), **kind}))
        told = {"watch_uid": uid, "at": NOW - 30 * HOUR, "zone": "UTC", "note": "s3cret note"}
        _give(
            store,
            NOW,
            LogService(
                **told,  # type: ignore[arg-type]  # by name
                work_done="s3cret work",
                done_by="s3cret person",
                cost="s3cret cost",
                occasion="s3cret occasion",
                lubricants="s3cret oil",
                parts="s3cret spring: 1.3 × 0.1 × 350",  # type: ignore[arg-type]  # as it is typed
            ),
            LogWear(**told, act="laid down"),  # type: ignore[arg-type]  # by name
            LogWind(**told),  # type: ignore[arg-type]  # by name
        )
        _give(store, NOW, attaching_to(uid, photograph(JPEG), "s3cret file", uid_of("file", uid)))
    say_cue(store, DORA, NOW)
    _customers(store)
    return store


def _customers(store: Store) -> None:
    """A customer's watch that would be called for in every round, and would be told as fallen."""
    fields = _words_of("s3cret job") | {"job_number": "s3cret number"}
    _give(
        store, NOW, RegisterWatch.model_validate({"uid": JOB, **fields, "habit": "keep going", "stated_reserve_h": 40})
    )
    _give(store, NOW, LogWind(watch_uid=JOB, at=NOW - 30 * HOUR, zone="UTC"))
    say_cue(store, JOB, NOW)


def _told(store: Store) -> list[Message]:
    """Everything that is told within a day and a half, and every other kind there is."""
    found = WinderFacts(
        nickname="Dora", word="no turns", since=NOW, a_day=None, stops_at=None, needs_a_day=650.0, way="both", whose="usual"
    )  # fmt: skip
    looked = KeptWatch(DORA, "Dora", "wind-1", NOW - 9 * HOUR, NOW + 9 * HOUR, look_at=NOW + HOUR)
    with store.change() as db:
        cues.retell(db, [DORA, JOB], NOW)
        replan_winders(db, [DORA], {DORA: found}, NOW)
        replan(db, [looked], 3, NOW)
    sent: list[Message] = []

    def send(_address: str, message: Message) -> Answer:
        sent.append(message)
        return Answer("sent")

    for minutes in range(0, 36 * 60, 5):
        now = NOW + timedelta(minutes=minutes)
        digests.judge(store, now, now - timedelta(minutes=5))
        runs.judge(store, now)
        while ring(store, now, ZONE, send):
            pass
    return sent


def test_the_free_words_of_a_watch_are_all_tried() -> None:
    assert {"place", "value", "serial", "note", "belongs_to", "job_number", "calibre"} <= set(TEXTS)


def test_of_every_kind_no_message_and_no_page_of_its_link_tells_more_than_nicknames(household: Store) -> None:
    told = _told(household)
    assert {each.key.partition("/")[0] for each in told} >= {"round", "last-call", "look", "cue", "winder", "run"}
    browser = create_app(household, now=lambda: NOW + 36 * HOUR).test_client()
    for each in told:
        assert each.link.startswith(BASE)
        page = browser.get(each.link.removeprefix(BASE)).text
        for said in (each.title, each.body, each.key, page):
            assert "s3cret" not in said
            assert household.path.parent.as_posix() not in said


def test_no_message_tells_that_nobody_is_at_home(household: Store) -> None:
    _give(household, NOW, KeepAbsence(leave=NOW + 20 * HOUR, back=NOW + 200 * HOUR, taken=(DORA,)))
    said = json.dumps([(each.title, each.body) for each in _told(household)]).lower()
    assert said != "[]"
    for word in ("away", "absen", "travel", "return", "back", "leave", "home"):
        assert word not in said


def test_feed_and_broker_tell_nothing_of_customers_services_or_costs(household: Store) -> None:
    settings = preferences(household).values
    _give(household, NOW, ChangeSettings(**settings.model_dump() | {"publish_states": True}))
    events = feed.events(survey(household, NOW).known, settings, NOW)
    sent = outbound.states(household, NOW, "p")
    assert events
    assert any(payload for payload in sent.values())
    for said in (repr(events), *map(str, sent), *(payload.decode() for payload in sent.values())):
        assert "s3cret" not in said
