"""The page Sum and observation: where the two part, the odds of each fault, a sign noted there."""

import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import NOW, client, give, register
from tracker.commands.log import LogReading, LogSighting, LogWind, VoidEntry
from tracker.store import log
from tracker.store.store import Store

UID = "01936f4e-5c00-7000-8000-000000000000"
HOUR = timedelta(hours=1)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def page(browser: FlaskClient, uid: str) -> str:
    text = re.sub(r"<[^>]+>", " ", browser.get(f"/watch/{uid}/sum").get_data(as_text=True))
    return " ".join(text.split())


def note(browser: FlaskClient, uid: str, number: int = 0, **fields: str) -> int:
    data = {"uid": f"{UID[:-1]}{number}", **fields}
    return browser.post(f"/watch/{uid}/sum", data=data).status_code


def test_with_nothing_known_it_says_so_and_gives_only_a_guess(store: Store, browser: FlaskClient) -> None:
    told = page(browser, register(store, "Night ferry"))
    assert "Night ferry: now too little seen." in told
    assert "No sign has been entered yet" in told
    assert "The outer hooking lets go" in told
    assert "bridle" not in told.split("Which part is it?")[1].split("Note a sign")[0]


def test_signs_move_the_odds_and_are_named_with_their_basis(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    assert note(browser, uid, 1, sign="turns left", word="more") == 303
    assert note(browser, uid, 2, sign="torque at equal turns", figure="5,1", expected="6,4") == 303
    told = page(browser, uid)
    assert re.search(r"From 2 signs: [a-z ]+ \(\d+ %\) the spring has set\.", told)
    assert "Turns left in the barrel at the stop more noted at the bench raises them" in told
    assert "sums of the barrel" in told


def test_a_sign_taken_out_no_longer_counts(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    note(browser, uid, sign="turns left", word="more")
    give(store, VoidEntry(entry_uid=log.entry_rows(store.reading(), uid)[0]["uid"]))
    assert "No sign has been entered yet" in page(browser, uid)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        (
            {"sign": "turns left", "word": ""},
            "It is not said what was found. Choose same, more; or give a figure and what it should be.",
        ),
        ({"sign": "turns left", "word": "fewer"}, "This sign has no such word. Choose same, more."),
        ({"sign": "rate", "figure": "3", "expected": "2"}, "It is not said what was found."),
        ({"sign": "turns left", "figure": "many", "expected": "2"}, "“many” is not a number."),
    ],
)
def test_what_can_t_be_taken_is_said(store: Store, browser: FlaskClient, fields: dict[str, str], sentence: str) -> None:
    uid = register(store, "Night ferry")
    answer = browser.post(f"/watch/{uid}/sum", data={"uid": UID, **fields})
    assert answer.status_code == 422
    assert sentence in answer.get_data(as_text=True)
    assert log.entry_rows(store.reading(), uid) == []


def test_readings_count_but_not_with_an_assumed_lift_angle(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    fields = {
        "watch_uid": uid,
        "at": NOW - HOUR,
        "zone": "UTC",
        "position": "CH",
        "since_wind_min": 1440,
        "amplitude_deg": 190,
    }
    give(store, LogReading.model_validate(fields))
    assert "No sign has been entered yet" in page(browser, uid)
    give(store, LogReading.model_validate({**fields, "at": NOW, "lift_angle_deg": 50, "position": "CB"}))
    assert "From 1 sign" not in page(browser, uid)  # the sitting still holds one that is assumed
    entry = next(row for row in log.entry_rows(store.reading(), uid) if row["position"] == "CH")
    give(store, VoidEntry(entry_uid=entry["uid"]))
    assert "Amplitude after 24 h lower" in page(browser, uid)


def test_it_stands_in_the_log_of_the_watch(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    give(
        store,
        LogWind(watch_uid=uid, at=NOW - 50 * HOUR, zone="UTC"),
        LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="going"),
    )
    note(browser, uid, sign="turns left", figure="1.5", expected="1")
    assert "Sign: turns left in the barrel at the stop: 1.5 (should be 1)" in browser.get(f"/watch/{uid}").get_data(
        as_text=True
    )
