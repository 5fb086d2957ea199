"""The long form of the log: any entry, any past time, and its correction."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import HOUR, NOW, client, give, register
from tracker.commands.log import LogWear, LogWind
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.store import log
from tracker.store.store import Store

UID = "01936f4e-5c00-7000-8000-000000000000"


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/Berlin"))
    return client(store)


def note(browser: FlaskClient, uid: str, kind: str, **fields: str) -> TestResponse:
    return browser.post(f"/watch/{uid}/log?kind={kind}", data={"uid": UID, "when": "now", **fields})


def rows(store: Store, uid: str) -> list[dict[str, Any]]:
    return log.entry_rows(store.reading(), uid)


def test_a_part_wind_by_turns_at_a_past_time(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    fields = {"amount": "part", "crown_turns": "12,5", "when": "full", "local": "2026-11-20T07:30"}
    answer = note(browser, uid, "wind", **fields, give_or_take_min="20")
    assert answer.headers["Location"] == f"/watch/{uid}"
    row = rows(store, uid)[0]
    assert (row["amount"], row["crown_turns"], row["at_utc"], row["zone"], row["within_min"]) == (
        "part",
        12.5,
        "2026-11-20T06:30:00Z",
        "Europe/Berlin",
        20,
    )


def test_a_stop_is_noted_with_its_hands(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    note(browser, uid, "sighting", seen="stopped", shown="437", when="last night")
    row = rows(store, uid)[0]
    assert (row["seen"], row["shown"], row["within_min"]) == ("stopped", "4:37", 180)


def test_one_tick_says_that_the_chronograph_ran(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 60)
    give(store, LogWind(watch_uid=uid, at=NOW - 50 * HOUR, zone="UTC"))
    note(browser, uid, "sighting", seen="stopped", side_spring_used="yes")
    assert rows(store, uid)[0]["side_spring_used"] == 1
    page = browser.get(f"/watch/{uid}").text
    assert "Found stopped; the chronograph ran or the alarm rang" in page
    assert "left out: the chronograph ran or the alarm rang, and it was not seen going again" in page
    form = browser.get(f"/watch/{uid}/log?entry={rows(store, uid)[0]['uid']}").text
    assert re.search(r'name="side_spring_used"[^>]* checked', form)


def test_an_indicator_is_asked_only_where_there_is_one(store: Store, browser: FlaskClient) -> None:
    plain, watch = register(store, "Night ferry"), RegisterWatch(nickname="Almanac", indicator="hours")
    give(store, watch)
    assert "indicator_reading" not in browser.get(f"/watch/{plain}/log?kind=sighting").text
    assert "indicator_reading" in browser.get(f"/watch/{watch.uid}/log?kind=sighting").text
    note(browser, watch.uid, "sighting", seen="not noticed", indicator_reading="31")
    assert rows(store, watch.uid)[0]["indicator_reading"] == 31


def test_wear_and_service_are_noted(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    note(browser, uid, "wear", act="laid down")
    browser.post(
        f"/watch/{uid}/log?kind=service",
        data={"uid": UID.replace("0000", "0001", 1), "when": "full", "local": "2026-05-04", "done_by": "the workshop"},
    )
    worn, service = rows(store, uid)
    assert (worn["act"], service["done_by"], service["within_min"]) == ("laid down", "the workshop", 720)


def test_a_winder_is_asked_of_only_where_a_rotor_turns(store: Store, browser: FlaskClient) -> None:
    plain, watch = register(store, "Night ferry"), RegisterWatch(nickname="Tide table", wound_by="rotor only")
    give(store, watch)
    for path in ("", "/log?kind=wind"):
        assert "kind=winder" not in browser.get(f"/watch/{plain}{path}").text
        assert "kind=winder" in browser.get(f"/watch/{watch.uid}{path}").text
    assert "off it</a>, <a " in browser.get(f"/watch/{watch.uid}").text
    note(browser, watch.uid, "winder", act="on", turns_a_day="650,5")
    assert (rows(store, watch.uid)[0]["act"], rows(store, watch.uid)[0]["turns_a_day"]) == ("on", 650.5)
    assert "Put on the winder; 650.5 turns a day" in browser.get(f"/watch/{watch.uid}").text
    refused = browser.post(
        f"/watch/{plain}/log?kind=winder", data={"uid": UID.replace("0000", "0003", 1), "when": "now", "act": "on"}
    )
    assert refused.status_code == 422
    assert "Night ferry has no rotor in the register: a winder can&#39;t wind it." in refused.text


def test_a_note_of_a_winder_is_corrected_in_its_own_form(store: Store, browser: FlaskClient) -> None:
    watch = RegisterWatch(nickname="Tide table", wound_by="rotor only")
    give(store, watch)
    note(browser, watch.uid, "winder", act="on", turns_a_day="650")
    (noted,) = rows(store, watch.uid)
    form = browser.get(f"/watch/{watch.uid}/log?entry={noted['uid']}").text
    assert 'value="650"' in form
    other = UID.replace("0000", "0002", 1)
    fields = {"uid": other, "when": "as noted", "act": "off", "turns_a_day": "650"}
    refused = browser.post(f"/watch/{watch.uid}/log?entry={noted['uid']}", data=fields)
    assert (
        "Turns a day go with a watch that is put on a winder. Leave them out, or say that it was put on."
        in refused.text
    )
    browser.post(f"/watch/{watch.uid}/log?entry={noted['uid']}", data=fields | {"turns_a_day": ""})
    (corrected,) = rows(store, watch.uid)
    assert (corrected["act"], corrected["at_utc"], corrected["replaces"]) == ("off", noted["at_utc"], noted["uid"])


def test_putting_one_on_says_what_it_laid_down(store: Store, browser: FlaskClient) -> None:
    worn, watch = register(store, "Night ferry"), register(store, "Tide table")
    give(store, LogWear(watch_uid=worn, at=NOW - 8 * HOUR, zone="UTC", act="put on"))
    note(browser, watch, "wear", act="put on")
    page = browser.get(f"/watch/{watch}").text
    assert "Noted. Laid down for it: Night ferry." in page
    assert (rows(store, worn)[0]["act"], rows(store, worn)[0]["at_utc"]) == (
        "laid down",
        rows(store, watch)[0]["at_utc"],
    )
    browser.post("/log/undo", data={"batch": rows(store, watch)[0]["uid"]})
    assert (len(rows(store, worn)), rows(store, watch)) == (1, [])


def test_the_address_may_choose_the_plain_case(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    page = browser.get(f"/watch/{uid}/log?kind=sighting&seen=stopped+on+purpose").text
    assert '<option value="stopped on purpose" selected>' in page


def test_hands_are_never_asked_by_a_time_picker(store: Store, browser: FlaskClient) -> None:
    page = browser.get(f"/watch/{register(store, 'Night ferry')}/log?kind=wind").text
    assert 'type="time"' not in page
    assert 'name="shown" type="text" value="" inputmode="numeric"' in page


def test_sent_twice_is_noted_once(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    for _ in range(2):
        note(browser, uid, "wind", amount="full")
    assert len(rows(store, uid)) == 1


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"found": "stopped", "shown": "9999"}, "“9999” is not a time on a dial."),
        ({"found": "going", "shown": "437"}, "What the hands showed counts only for a watch that had stopped."),
        ({"crown_turns": "some"}, "“some” is not a number. Give a number."),
        ({"when": "full", "local": "2031-01-01T10:00"}, "This time lies in the future."),
        ({"when": "about", "clock": "99"}, "“99” is not a time on the clock. Give it as 07:30."),
    ],
)
def test_what_cant_be_taken_comes_back_with_its_sentence(
    store: Store, browser: FlaskClient, fields: dict[str, str], sentence: str
) -> None:
    uid = register(store, "Night ferry")
    answer = note(browser, uid, "wind", **{"note": "by lamplight", **fields})
    assert answer.status_code == 422
    assert sentence in answer.text
    assert 'value="by lamplight"' in answer.text
    assert rows(store, uid) == []


def test_a_correction_replaces_the_entry_and_keeps_its_time(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    wind = LogWind(watch_uid=uid, at=NOW - 30 * HOUR, zone="Asia/Kolkata", within_min=20, found="going", date_set=False)
    give(store, wind)
    page = browser.get(f"/watch/{uid}/log?entry={wind.uid}").text
    assert 'value="as noted" checked' in page
    assert '<option value="going" selected>' in page
    browser.post(f"/watch/{uid}/log?entry={wind.uid}", data={"uid": UID, "when": "as noted", "found": "stopped"})
    row = rows(store, uid)[0]
    assert (row["uid"], row["replaces"], row["found"], row["zone"], row["within_min"]) == (
        UID,
        wind.uid,
        "stopped",
        "Asia/Kolkata",
        20,
    )
    assert len(rows(store, uid)) == 1


def test_a_correction_of_wear_keeps_who_wore_it(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    wear = LogWear(watch_uid=uid, at=NOW - HOUR, zone="UTC", act="put on")
    give(store, wear)
    before = rows(store, uid)[0]["worn_by"]
    browser.post(f"/watch/{uid}/log?entry={wear.uid}", data={"uid": UID, "when": "as noted", "act": "laid down"})
    assert [(row["act"], row["worn_by"]) for row in rows(store, uid)] == [("laid down", before)]


def test_an_unticked_date_stays_unticked_in_a_correction(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", dated=True)
    wind = LogWind(watch_uid=uid, at=NOW - HOUR, zone="UTC")
    give(store, wind)
    page = browser.get(f"/watch/{uid}/log?entry={wind.uid}").text
    assert 'name="date_set" type="checkbox" value="yes">' in page


def test_no_such_kind_or_entry_is_not_found(store: Store, browser: FlaskClient) -> None:
    uid, other = register(store, "Night ferry"), register(store, "Grey dial", 2)
    foreign = rows(store, other)[0]["uid"]
    for query in ("kind=polish", "entry=nothing", f"entry={foreign}"):
        assert browser.get(f"/watch/{uid}/log?{query}").status_code == 404
