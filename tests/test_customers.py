"""A customer's watch is called for nowhere; its twin of the owner's, with the same log, is the proof that it would be."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.belled import MINUTE, Bell, give, wind
from tests.cuesaid import say_cue
from tests.web.rounds import HOUR, LONDON, NOW, client
from tracker import cues, feed, outbound, planning, runs
from tracker.collection import owner_code, preferences
from tracker.commands.log import LogService, LogSighting
from tracker.commands.register import EditWatch, HandBack, RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.core.heard import Question
from tracker.figures import survey
from tracker.store import register, reminders
from tracker.store.rows import all_rows
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.heardwords import on_round

OWN, JOB = "Lamp room", "Weir house"
KINDS: dict[str, dict[str, Any]] = {
    "kept": {"habit": "keep going", "stated_reserve_h": 55},
    "weekly": {"habit": "every n days", "habit_every_days": 2, "stated_reserve_h": 60, "stake": "calendar"},
    "rests": {"habit": "at rest", "habit_every_days": 1},
    "fallen": {"habit": "when worn", "stated_reserve_h": 40},
}
"""Watches that are called for in every way there is."""
AWAY = "leave=2026-11-27T10:00&back=2026-12-05T18:00&every=1&at=10:00"


def names_of(nickname: str) -> set[str]:
    return {f"{nickname} {kind}" for kind in KINDS}


def uid(nickname: str, kind: str) -> str:
    return uid_of(nickname, kind)


def add(store: Store, nickname: str, **more: Any) -> None:
    """One watch of each kind, wound, stopped and serviced alike; with a cue said of the one that has fallen."""
    for kind, fields in KINDS.items():
        name = uid(nickname, kind)
        at = NOW - 12 * HOUR
        service = LogService(watch_uid=name, at=NOW - timedelta(days=700), zone="UTC", cost="s3cret cost")
        stop = LogSighting(watch_uid=name, at=at - 85 * HOUR, zone="UTC", seen="stopped", within_min=60)
        give(
            store,
            NOW,
            RegisterWatch(uid=name, nickname=f"{nickname} {kind}", **fields, **more),
            service,
            wind(name, at - 140 * HOUR),
            stop,
            wind(name, at),
        )
    say_cue(store, uid(nickname, "fallen"), NOW)
    with store.change() as db:
        cues.retell(db, [uid(nickname, "fallen")], NOW)


@pytest.fixture
def shop(store: Store) -> Store:
    held = preferences(store).values.model_dump()
    give(
        store,
        NOW,
        ChangeSettings(**held | {"zone": "UTC", "service_interval_years": 3, "publish_states": True, "notice_h": 3}),
    )
    add(store, JOB, job_number="W-118", belongs_to="A pilot", came_in=(NOW - timedelta(days=5)).date())
    add(store, OWN)
    return store


def page(path: str) -> Callable[[Store], str]:
    return lambda store: client(store).get(path).text


def told(store: Store) -> str:
    """Every message of two days: digests, last calls, runs, cues."""
    bell = Bell(store)
    for step in range(0, 48 * 60, 30):
        runs.judge(store, NOW + step * MINUTE)
        bell.ring(NOW + step * MINUTE)
    assert {each.key.partition("/")[0] for each in bell.told} >= {"round", "last-call", "run", "cue"}
    return json.dumps([(each.title, each.body) for each in bell.told])


def fed(store: Store) -> str:
    events = feed.events(survey(store, NOW).known, preferences(store).values, NOW)
    assert {"Wind", "wind by", "service due"} <= {word for each in events for word in ("Wind", "wind by", "service due") if word in each.summary}  # fmt: skip
    return json.dumps([each.summary for each in events])


def published(store: Store) -> str:
    sent = outbound.states(store, NOW, "p")
    code = owner_code(store.reading())
    gone = {uid(JOB, kind) for kind in KINDS if sent.get(outbound.topic("p", code, uid(JOB, kind))) == outbound.GONE}
    assert gone == {uid(JOB, kind) for kind in KINDS}
    return " ".join(payload.decode() for payload in sent.values())


def planned(store: Store) -> str:
    known = survey(store, NOW).known
    found = planning.planned(known, preferences(store).values, NOW)
    names = {each.watch.uid: each.watch.nickname for each in known}
    uids = {one for each in found.plan.rounds for one in each.wind} | {*found.to_look_at} | {*found.left_to_run}
    return " ".join(names[one] for one in uids)


PLACES: dict[str, tuple[Callable[[Store], str], set[str]]] = {
    "the round, its board and its plan": (page("/"), {"kept", "weekly"}),
    "the plan": (planned, {"kept", "weekly"}),
    "while away": (page(f"/away?{AWAY}"), {"kept", "weekly"}),
    "the sheet for whoever comes by": (page(f"/away/sheet?{AWAY}"), {"kept", "weekly"}),
    "the collection": (page("/collection"), set(KINDS)),
    "the reserves": (page("/collection/reserves"), set(KINDS)),
    "messages sent": (told, {"kept", "weekly", "rests"}),
    "the calendar feed": (fed, {"kept", "weekly"}),
    "the broker": (published, set(KINDS)),
}
"""Every place where a watch is called for or counted, and which kinds its owner finds there."""


@pytest.mark.parametrize("place", PLACES)
def test_a_customers_watch_is_called_for_at_no_place_where_its_twin_is(place: str, shop: Store) -> None:
    look, wanted = PLACES[place]
    said = look(shop)
    assert {kind for kind in KINDS if f"{OWN} {kind}" in said} >= wanted
    assert JOB not in said
    assert "A pilot" not in said
    assert "W-118" not in said


def test_the_collection_counts_the_owners_alone_and_leads_to_the_others(shop: Store) -> None:
    said = page("/collection")(shop)
    assert "<h1>4 watches: " in said
    assert "Customers’ watches: 4" in said


def test_the_page_of_messages_and_the_reminders_kept_know_of_none(shop: Store) -> None:
    told(shop)
    assert JOB not in page("/messages")(shop)
    rows = all_rows(shop.reading(), "SELECT subject_uid, facts FROM reminder")
    assert {row["subject_uid"] for row in rows} & {uid(JOB, kind) for kind in KINDS} == set()
    assert all(JOB not in row["facts"] for row in rows)


def test_a_question_of_its_sensor_stays_on_its_own_page(shop: Store) -> None:
    asked = Question(asking="lifted or stopped", sensor_uid=uid_of("sensor"), since=NOW - HOUR, until=NOW - HOUR / 2)
    known = survey(shop, NOW).known
    found = on_round([replace(each, questions=(asked,)) for each in known], NOW, LONDON)
    assert {each.watch.nickname for each, _ in found} == names_of(OWN)


def test_a_watch_that_becomes_a_customers_is_told_of_no_more_and_comes_back_with_undo(shop: Store) -> None:
    name = uid(OWN, "kept")
    fields = KINDS["kept"] | {"nickname": f"{OWN} kept", "job_number": "9"}
    waiting = [row for row in reminders.open_rows(shop.reading(), "last call") if row["subject_uid"] == name]
    assert waiting
    give(shop, NOW, EditWatch(watch_uid=name, **fields))
    assert not [row for row in reminders.open_rows(shop.reading(), "last call") if row["subject_uid"] == name]
    give(shop, NOW, Undo())
    assert [row for row in reminders.open_rows(shop.reading(), "last call") if row["subject_uid"] == name]


def test_its_own_page_and_list_have_it_with_its_evidence(shop: Store) -> None:
    said = page(f"/watch/{uid(JOB, 'kept')}")(shop)
    assert "Job W-118; belongs to A pilot; came in 2026-11-20." in said
    assert "Its reserve" in said
    assert all(name in page("/collection/customers")(shop) for name in names_of(JOB))
    assert OWN not in page("/collection/customers")(shop)


def test_handed_back_it_is_listed_as_gone_out_and_not_among_those_to_open(shop: Store) -> None:
    name = uid(JOB, "fallen")
    assert f"{JOB} fallen" in page("/services")(shop)
    give(shop, NOW, HandBack(watch_uid=name, went_out=NOW.date()))
    assert f"{JOB} fallen" not in page("/services")(shop)
    assert f"{JOB} fallen" not in page("/collection/customers")(shop)
    assert f"{JOB} fallen" in page("/collection/customers?where=out")(shop)
    give(shop, NOW, LogSighting(watch_uid=uid(OWN, "weekly"), at=NOW, zone="UTC", seen="going"))
    for look, _ in PLACES.values():
        assert JOB not in look(shop)
    found = register.watch(shop.reading(), name)
    assert found is not None
    assert (found.gone_out, found.archived_at) == (True, None)
