"""Digests while the owner is away and at the return."""

import pytest

from tests.belled import MINUTE, TODAY, Bell, give, kept, ring_through, rounds, wind
from tests.web.rounds import HOUR, NOW
from tracker.commands.absence import KeepAbsence
from tracker.commands.settings import ChangeSettings
from tracker.commands.undo import Undo
from tracker.staying import come_back
from tracker.store.store import Store

LEAVE = TODAY + 150 * MINUTE
BACK = TODAY.replace(day=28, hour=18, minute=0)
"""From Wednesday morning to Saturday evening."""
TRIP = KeepAbsence(leave=LEAVE, back=BACK)


@pytest.fixture(autouse=True)
def _in_utc(store: Store) -> None:
    give(store, NOW, ChangeSettings(zone="UTC"))


@pytest.fixture
def bell(store: Store) -> Bell:
    return Bell(store)


def test_while_away_nothing_is_told_and_one_message_tells_what_to_wind_at_the_return(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - HOUR)
    kept(store, "Long passage", NOW - HOUR, stated_reserve_h=120)
    give(store, NOW, TRIP)
    told = ring_through(bell, LEAVE, BACK + 2 * HOUR)
    assert told == [("round", BACK)]
    assert "Night ferry" in bell.told[0].title
    assert "may have stopped: Night ferry" in bell.told[0].text


def test_before_leaving_no_watch_is_named_that_would_stop_all_the_same(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - 24 * HOUR)
    kept(store, "Long passage", NOW - 72 * HOUR, stated_reserve_h=120)
    bell.ring(NOW)
    assert [each.nickname for each in rounds(store)[0].facts.named] == ["Long passage", "Night ferry"]
    give(store, NOW, TRIP)
    bell.ring(NOW)
    bell.ring(TODAY)
    assert bell.titles == ["Wind Long passage"]


def test_the_record_goes_on_while_away(store: Store, bell: Bell) -> None:
    ferry = kept(store, "Night ferry", NOW - HOUR)
    give(store, NOW, TRIP)
    helped = BACK - 9 * HOUR
    give(store, helped, wind(ferry, helped))
    assert ring_through(bell, helped, BACK + HOUR) == [], (
        "someone came by to wind it: there is nothing to do at the return"
    )


def test_a_return_that_comes_earlier_is_told_then_and_not_at_the_time_that_was_kept(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - HOUR)
    give(store, NOW, TRIP)
    bell.ring(LEAVE)
    early = LEAVE + 40 * HOUR
    bell.ring(early - MINUTE)
    give(store, early, come_back(store.reading(), early))
    told = ring_through(bell, early, early + 3 * HOUR)
    assert told == [("round", early)]
    assert "2026-11-28T18:00" not in [each.episode for each in rounds(store) if each.open]


def test_an_absence_dropped_opens_the_rounds_again(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - HOUR)
    give(store, NOW, TRIP)
    bell.ring(NOW)
    give(store, NOW, Undo(batch=TRIP.uid))
    bell.ring(NOW)
    assert [each.episode for each in rounds(store) if each.open] == ["2026-11-26T07:30"]


def test_a_zone_changed_while_away_tells_the_return_once(store: Store, bell: Bell) -> None:
    kept(store, "Night ferry", NOW - HOUR)
    give(store, NOW, TRIP)
    bell.ring(LEAVE)
    give(store, LEAVE + 10 * HOUR, ChangeSettings(zone="Asia/Kathmandu"))
    bell.ring(LEAVE + 10 * HOUR)
    give(store, BACK - HOUR, ChangeSettings(zone="UTC"))
    told = ring_through(bell, BACK - HOUR, BACK + 2 * HOUR)
    assert told == [("round", BACK)]


def test_a_last_call_before_leaving_is_told_before_leaving(store: Store, bell: Bell) -> None:
    give(store, NOW, ChangeSettings(zone="UTC", rounds_on_weekdays=(), rounds_at_weekends=()))
    kept(store, "Night ferry", LEAVE - 37 * HOUR)
    give(store, NOW, KeepAbsence(leave=LEAVE, back=LEAVE + 3 * HOUR))
    assert [kind for kind, _ in ring_through(bell, NOW, LEAVE - MINUTE)][:1] == ["round"], "one is added for it"
