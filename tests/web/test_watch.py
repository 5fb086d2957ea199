"""The Watch page: how it stands, what can be changed and put away."""

import re
from html import unescape

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import HOUR, NOW, client, give, register
from tracker.commands.log import LogService, LogSighting, LogWind
from tracker.commands.register import EditWatch, RegisterWatch
from tracker.core.watch import Watch
from tracker.store import log
from tracker.store import register as shelf
from tracker.store.store import Store
from tracker.uids import new_uid


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def shown(browser: FlaskClient, uid: str, **parameters: str) -> str:
    return unescape(browser.get(f"/watch/{uid}", query_string=parameters).text)


def kept(store: Store, uid: str) -> Watch:
    watch = shelf.watch(store.reading(), uid)
    assert watch is not None
    return watch


def edit(browser: FlaskClient, watch: Watch, **fields: str) -> TestResponse:
    opened = {"uid": "01936f4e-5c00-7000-8000-000000000000", "nickname": watch.nickname, "habit": watch.habit}
    return browser.post(f"/watch/{watch.uid}/edit", data=opened | {"version": str(watch.version)} | fields)


def test_the_first_line_says_how_long_and_by_when(store: Store, browser: FlaskClient) -> None:
    page = shown(browser, register(store, "Night ferry", 2))
    assert re.search(r"<h1>Going, \d+ to \d+ h left\. Wind by \w+ \d\d:\d\d\.</h1>", page)
    assert "Too little seen yet: one winding, no stop. Its figures are taken from the maker's 40 h." in page


def test_a_part_wind_asks_for_a_look_and_gives_no_wind_by(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    give(store, LogWind(watch_uid=uid, at=NOW - HOUR, zone="UTC", amount="part"))
    page = shown(browser, uid)
    assert "<h1>Going, probably: look at it; it was wound in part only.</h1>" in page
    assert "Wind by" not in page


def test_a_watch_nobody_noted_is_not_known(store: Store, browser: FlaskClient) -> None:
    page = shown(browser, register(store, "Night ferry", kept=False))
    assert "Not known whether it goes: when it was last wound is not noted." in page


def test_each_run_keeps_its_censoring_in_words(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 100, 74, 2)
    give(
        store,
        LogSighting(watch_uid=uid, at=NOW - 48 * HOUR, zone="UTC", seen="going"),
        LogSighting(watch_uid=uid, at=NOW - 36 * HOUR, zone="UTC", seen="stopped"),
    )
    page = shown(browser, uid)
    assert "between 26 and 38 h" in page
    assert "at least 26 h" in page
    assert "from 1 stop and 1 “at least”" in page


def test_a_service_is_told_and_the_evidence_counts_from_it(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 2)
    give(store, LogService(watch_uid=uid, at=NOW - 1000 * HOUR, zone="UTC", done_by="the workshop"))
    page = shown(browser, uid)
    assert "since its service (Wed 2026-10-14)" in page
    assert "leave it to a trained watchmaker if unsure" in page


def test_cautions_stand_where_they_apply(store: Store, browser: FlaskClient) -> None:
    watch = RegisterWatch(
        nickname="Almanac", wound_by="crown and rotor", crown_turns_to_full=45, screw_down_crown=True, stake="calendar"
    )
    give(store, watch)
    page = shown(browser, watch.uid)
    for caution in ("Stop at its 45 turns", "Screw the crown back", "between 8 pm and 4 am"):
        assert caution in page
    assert "past its resistance" not in page


def test_a_calendar_hears_that_a_wind_by_alone_promises_nothing(store: Store, browser: FlaskClient) -> None:
    watch = RegisterWatch(nickname="Almanac", stake="calendar", stated_reserve_h=40)
    give(store, watch)
    page = shown(browser, watch.uid)
    assert "one wind-by in 200 may come too late" in page
    assert "So rare a stop can't be promised by a wind-by alone" in page


def test_a_long_log_is_cut_and_the_address_shows_all(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", *range(24, 24 * 41, 24))
    assert shown(browser, uid).count("Take out") == 30
    assert shown(browser, uid, log="all").count("Take out") == 40
    assert "All 40 entries" in shown(browser, uid)


def test_an_entry_taken_out_is_gone_and_undo_is_offered(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30, 2)
    entry = str(log.entry_rows(store.reading(), uid)[0]["uid"])
    answer = browser.post("/log/void", data={"entry_uid": entry, "next": f"/watch/{uid}"}, follow_redirects=True)
    assert answer.text.count("Take out") == 1
    assert "Undo" in answer.text


def test_a_tap_comes_back_to_the_watch(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 30)
    fields = {"do": f"wound-stopped {uid}", "key": "a page", f"shown-{uid}": "437", "next": f"/watch/{uid}"}
    assert browser.post("/log/tap", data=fields).headers["Location"] == f"/watch/{uid}"
    assert "hands at 4:37" in shown(browser, uid)


def test_an_edit_changes_what_the_register_says(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", dated=True)
    edit(browser, kept(store, uid), place="tray 3", stated_reserve_h="44")
    watch = kept(store, uid)
    assert (watch.place, watch.stated_reserve_h, watch.date_window) == ("tray 3", 44, False)


def test_what_it_needs_on_a_winder_is_asked_and_told(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    figures = {"winder_turns_a_day": "700", "winder_way": "clockwise", "winder_pause_h": "12", "wear_fills_h": "9,5"}
    edit(browser, kept(store, uid), wound_by="rotor only", **figures)
    watch = kept(store, uid)
    assert (watch.winder_turns_a_day, watch.winder_way, watch.winder_pause_h, watch.wear_fills_h) == (
        700.0,
        "clockwise",
        12.0,
        9.5,
    )
    assert "700 turns a day, only clockwise counts" in shown(browser, uid)
    form = browser.get(f"/watch/{uid}/edit").text
    assert all(f'value="{value}"' in form for value in ("700", "12", "9.5"))
    assert '<option value="clockwise" selected>' in form


def test_a_wrong_edit_keeps_the_fields_and_saves_nothing(store: Store, browser: FlaskClient) -> None:
    watch = kept(store, register(store, "Night ferry"))
    answer = edit(browser, watch, place="tray 3", vibrations_per_hour="28800", habit="on weekdays")
    assert answer.status_code == 422
    for kept_value in ("tray 3", "28800", "Night ferry"):
        assert f'value="{kept_value}"' in answer.text
    assert "No weekday is chosen." in answer.text
    assert kept(store, watch.uid) == watch


def test_a_stale_edit_is_a_conflict_with_both_values_shown(store: Store, browser: FlaskClient) -> None:
    seen = kept(store, register(store, "Night ferry"))
    give(store, EditWatch(watch_uid=seen.uid, nickname="Night ferry", place="safe"))
    answer = edit(browser, seen, place="tray 3")
    assert answer.status_code == 409
    assert "Someone changed this since you opened it; nothing was saved." in answer.text
    assert 'value="tray 3"' in answer.text
    assert "By now it says “safe”." in answer.text
    again = edit(browser, kept(store, seen.uid), place="tray 3")
    assert again.status_code == 303


def test_putting_away_keeps_the_page_and_its_log(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 2)
    browser.post(f"/watch/{uid}/archive", data={"uid": "01936f4e-5c00-7000-8000-000000000000"})
    page = shown(browser, uid)
    assert "It was put away today" in page
    assert "Wound fully" in page
    assert "Put away: 1" in browser.get("/collection").text


def test_an_address_of_no_watch_is_not_found(browser: FlaskClient) -> None:
    for path in ("", "/edit", "/log"):
        answer = browser.get(f"/watch/01936f4e-5c00-7000-8000-000000000000{path}")
        assert answer.status_code == 404
        assert "There is no such watch, or no longer." in answer.text


def test_a_run_too_long_to_be_believed_asks_once_and_no_releases_it(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", *(24.0 * day for day in range(40, 3, -1)))
    stop = LogSighting(watch_uid=uid, at=NOW - 2 * HOUR, zone="UTC", seen="going")
    give(store, stop)
    page = shown(browser, uid)
    assert "longer than it is known to" in page
    asked = re.search(r'href="([^"]+nothing_between=yes)"', page)
    assert asked is not None
    address = asked[1].replace("&amp;", "&")
    form = browser.get(address).text
    assert re.search(r'name="nothing_between"[^>]* checked', form)
    answer = {"uid": new_uid(NOW), "seen": "going", "when": "as noted", "nothing_between": "yes"}
    assert browser.post(address, data=answer).status_code == 303
    assert "longer than it is known to" not in shown(browser, uid)
