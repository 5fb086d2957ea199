"""Every page where work can hurt says so: page by page the cautions it needs, each once."""

import re
from collections import Counter
from collections.abc import Iterator
from html import unescape
from itertools import chain

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import HOUR, NOW, client, give
from tracker import cautionwords
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.commands.sensor import AddSensor
from tracker.commands.settings import ChangeSettings
from tracker.core.watch import Watch
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web import cautions

HAND, AUTO, CALENDAR, WINDER = (uid_of(name) for name in ("hand", "auto", "calendar", "winder"))
WATCHES = (
    RegisterWatch(uid=HAND, nickname="Night ferry", habit="keep going", stated_reserve_h=40, wound_by="crown"),
    RegisterWatch(
        uid=AUTO, nickname="Bar buoy", habit="keep going", stated_reserve_h=40, wound_by="crown and rotor",
        crown_turns_to_full=38, screw_down_crown=True, stake="date",
    ),
    RegisterWatch(uid=CALENDAR, nickname="Almanac", habit="keep going", stated_reserve_h=40, wound_by="crown", stake="calendar"),
)  # fmt: skip
AWAY = "leave=2026-11-27T10:00&back=2026-11-28T18:00"
LONG_AWAY = "leave=2026-11-27T10:00&back=2026-12-04T18:00"

SPRING, RADIUM, CLEANING = cautionwords.wound_spring(), cautionwords.radium(), cautionwords.cleaning()
WATER, EYE, MAINS = cautionwords.water(), cautionwords.trained_eye(), cautionwords.winder_on_mains()
FORCE, SCREW, TURNS = cautionwords.resistance(), cautionwords.screw_back(), cautionwords.no_resistance(38)
DATE, MOON = cautionwords.date_change(), cautionwords.calendar_change()
ANY = (SPRING, RADIUM, CLEANING, WATER, EYE, MAINS, FORCE, SCREW, TURNS, DATE, MOON, cautionwords.open_drum())

OPENING = (SPRING, RADIUM, CLEANING)
NEEDED: dict[str, tuple[str, ...]] = {
    "/services": (SPRING, RADIUM, EYE),
    "/bench": OPENING,
    "/barrel": (SPRING, RADIUM, EYE),
    "/": (FORCE, TURNS, SCREW, DATE, MOON),
    f"/away?{AWAY}": (FORCE, TURNS, SCREW),
    f"/away?{LONG_AWAY}": (DATE, MOON),
    f"/away/sheet?{AWAY}&every=1": ("until you feel resistance, no further", "38 turns and stop", SCREW, DATE, MOON),
    "/collection/register": (MAINS,),
    f"/sensors/{WINDER}": (MAINS,),
    f"/sensors/{WINDER}/edit": (MAINS,),
}
OF_WATCH: dict[str, tuple[str, ...]] = {
    "/watch/{uid}/log?kind=service": (*OPENING, WATER),
    "/watch/{uid}/log?kind=winder": (MAINS,),
    "/watch/{uid}/edit": (MAINS,),
    "/watch/{uid}/sum": (SPRING, RADIUM, EYE),
    "/watch/{uid}/readings": (EYE,),
}
AT_WINDING: dict[str, tuple[str, ...]] = {
    "/watch/{uid}": (SPRING,),
    "/watch/{uid}/log?kind=wind": (),
    "/watch/{uid}/sheet": (*OPENING, WATER, EYE),
    "/bench/begin/{uid}": (SPRING,),
}
OWN = {HAND: (FORCE,), AUTO: (TURNS, SCREW, DATE), CALENDAR: (FORCE, MOON)}
"""What is to be minded of each of the three while winding and setting it."""


def pages() -> Iterator[tuple[str, tuple[str, ...]]]:
    yield from NEEDED.items()
    for uid, own in OWN.items():
        yield from ((path.format(uid=uid), needed) for path, needed in OF_WATCH.items())
        yield from ((path.format(uid=uid), (*needed, *own)) for path, needed in AT_WINDING.items())


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    winds = [
        LogWind(watch_uid=each.uid, at=NOW - 38 * HOUR, zone="UTC", found="going", hands="left") for each in WATCHES
    ]
    winder = AddSensor(uid=WINDER, name="seat 1", topic="house/seat/1", kind="winder", reports="counter", expected_s=60)
    give(store, ChangeSettings(zone="Europe/London"), *WATCHES, *winds, winder)
    return client(store)


def said(browser: FlaskClient, path: str) -> str:
    answer = browser.get(path)
    assert answer.status_code == 200
    body = answer.text.partition("<main")[2]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


@pytest.mark.parametrize(("path", "needed"), list(pages()))
def test_the_page_says_what_is_to_be_minded(browser: FlaskClient, path: str, needed: tuple[str, ...]) -> None:
    text = said(browser, path)
    assert [each for each in needed if each not in text] == []


@pytest.mark.parametrize("path", [path for path, _ in pages()])
def test_no_page_says_the_same_twice(browser: FlaskClient, path: str) -> None:
    text = said(browser, path)
    assert {each: text.count(each) for each in ANY if text.count(each) > 1} == {}


@pytest.mark.parametrize("path", AT_WINDING)
def test_a_caution_that_does_not_apply_is_not_said(browser: FlaskClient, path: str) -> None:
    """An automatic's crown never resists, a crown by hand never slips, and no date is set where there is none."""
    every = set(chain.from_iterable(OWN.values()))
    for uid, own in OWN.items():
        text = said(browser, path.format(uid=uid))
        assert [each for each in every - set(own) if each in text] == []


def test_a_helper_who_comes_by_is_told_the_hours_only_of_watches_with_a_date(store: Store) -> None:
    give(store, ChangeSettings(zone="Europe/London"), WATCHES[0])
    give(store, LogWind(watch_uid=HAND, at=NOW - 38 * HOUR, zone="UTC", found="going", hands="left"))
    assert "Set no date" not in said(client(store), f"/away/sheet?{AWAY}&every=1")


def test_other_springs_are_wound_in_the_same_round() -> None:
    assert cautions.at_winding(Watch(uid="a", nickname="a", other_springs="alarm")) == [
        "Wind its other springs too: alarm."
    ]


def test_one_without_a_crown_to_wind_is_filled_otherwise() -> None:
    assert "no winding by hand" in cautions.at_a_full_wind(Watch(uid="a", nickname="A", wound_by="rotor only"))[0]
    assert cautions.of_watch(Watch(uid="a", nickname="a", wound_by="key")) == []


def test_what_holds_for_every_crown_is_said_once() -> None:
    assert Counter(cautions.past_resistance([Watch(uid=uid, nickname=uid) for uid in "abc"])) == {FORCE: 1}
