"""The Collection page and the ways a watch joins and leaves it."""

import re

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import client, figures, give, register, wound
from tracker.commands.register import ArchiveWatch
from tracker.core.watch import Watch
from tracker.store import log
from tracker.store import register as shelf
from tracker.store.store import Store
from tracker.web import table


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def save(browser: FlaskClient, **fields: str) -> TestResponse:
    return browser.post("/collection/register", data={"uid": "a page", "habit": "when worn", **fields})


def shelved(store: Store) -> list[Watch]:
    return shelf.watches(store.reading())


def first_line(browser: FlaskClient) -> str:
    found = re.search(r"<h1>(.*)</h1>", browser.get("/collection").text)
    return found[1] if found else ""


def test_no_watch_yet_leads_to_the_register(browser: FlaskClient) -> None:
    assert first_line(browser) == "No watch yet."
    assert "/collection/register" in browser.get("/collection").text


def test_one_watch_is_told_in_its_own_sentence(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 2)
    assert first_line(browser) == "One watch: going."


def test_the_first_line_counts_by_state(store: Store, browser: FlaskClient) -> None:
    for nickname, hours_ago in (("Night ferry", 2), ("Grey dial", 38), ("Almanac", 300)):
        register(store, nickname, hours_ago)
    register(store, "Drawer find")
    assert first_line(browser) == "4 watches: 1 going, 1 may have stopped, 1 stopped, 1 not known."


def test_three_hundred_watches_are_all_in_the_table(browser: FlaskClient) -> None:
    save(browser, nicknames="\n".join(f"Drawer {n}" for n in range(300)))
    assert browser.get("/collection").text.count("<tr>") == 301


def test_a_state_filter_and_a_text_choose_rows() -> None:
    found = [figures("Night ferry", wound(2)), figures("Grey dial", wound(300)), figures("Grey coat", wound(1))]
    asked = table.wanted({"state": "going"})
    greys = {each.watch.uid for each in found[1:]}
    assert [each.watch.nickname for each in table.rows(found, asked, greys)] == ["Grey coat"]


def test_numbers_in_nicknames_sort_as_numbers() -> None:
    found = [figures(name) for name in ("Tray 10", "tray 2", "7 seas", "Almanac")]
    assert [each.watch.nickname for each in table.rows(found, table.wanted({}))] == [
        "7 seas",
        "Almanac",
        "tray 2",
        "Tray 10",
    ]


@pytest.mark.parametrize("sort", [*table.SORTS, "-wind_by", "nonsense"])
def test_every_order_keeps_every_watch(sort: str) -> None:
    found = [figures("Night ferry", wound(2)), figures("Grey dial", wound(38)), figures("Almanac")]
    assert len(table.rows(found, table.wanted({"sort": sort}))) == 3


def test_an_unknown_wind_by_comes_last() -> None:
    found = [figures("Almanac"), figures("Grey dial", wound(2)), figures("Night ferry", wound(20))]
    soonest = table.rows(found, table.wanted({"sort": "wind_by"}))
    assert [each.watch.nickname for each in soonest] == ["Night ferry", "Grey dial", "Almanac"]


def test_the_head_of_the_present_order_turns_it_round() -> None:
    assert table.wanted({"sort": "left", "q": "x"}).address("left") == {"sort": "-left", "q": "x"}
    assert table.wanted({"sort": "-left"}).address("left") == {"sort": "left"}


def test_one_form_registers_many_watches(store: Store, browser: FlaskClient) -> None:
    answer = save(browser, nicknames="Night ferry, going\nGrey dial", stated_reserve_h="38,5", habit="keep going")
    assert answer.headers["Location"] == "/"
    assert [(watch.nickname, watch.stated_reserve_h, watch.kept) for watch in shelved(store)] == [
        ("Grey dial", 38.5, True),
        ("Night ferry", 38.5, True),
    ]


def test_a_watch_just_wound_has_its_first_entry(store: Store, browser: FlaskClient) -> None:
    save(browser, nicknames="Night ferry", just_wound="yes")
    rows = log.entry_rows(store.reading(), shelved(store)[0].uid)
    assert [(row["amount"], row["found"]) for row in rows] == [("full", "not noticed")]


def test_sent_twice_is_registered_once(store: Store, browser: FlaskClient) -> None:
    for _ in range(2):
        assert save(browser, nicknames="Night ferry, going").status_code == 303
    assert len(shelved(store)) == 1
    assert len(log.entry_rows(store.reading(), shelved(store)[0].uid)) == 1


def test_bad_input_comes_back_with_all_fields_and_saves_nothing(store: Store, browser: FlaskClient) -> None:
    answer = save(
        browser, nicknames="Night ferry\nGrey dial", stated_reserve_h="soon", place="tray 3", habit="keep going"
    )
    assert answer.status_code == 422
    for kept in ("Night ferry\nGrey dial</textarea>", 'value="soon"', 'value="tray 3"', 'value="keep going" checked'):
        assert kept in answer.text
    assert "“soon” is not a number. Give a number." in answer.text
    assert shelved(store) == []


def test_a_nickname_that_is_taken_saves_none_of_the_list(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry")
    answer = save(browser, nicknames="Grey dial\nnight FERRY")
    assert answer.status_code == 422
    assert "There is already a watch called “night FERRY” (in the collection). Choose another nickname." in answer.text
    assert len(shelved(store)) == 1


def test_what_was_put_away_can_be_brought_back(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    give(store, ArchiveWatch(watch_uid=uid))
    assert "Put away: 1" in browser.get("/collection").text
    assert f"/watch/{uid}/bring-back" in browser.get("/collection/archived").text
    key = re.search(r'name="uid" value="([^"]+)"', browser.get("/collection/archived").text)
    assert key is not None
    browser.post(f"/watch/{uid}/bring-back", data={"uid": key[1]})
    assert [watch.nickname for watch in shelved(store)] == ["Night ferry"]
