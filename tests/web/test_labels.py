"""Labels as the address asks for them, and the way from a label to its watch."""

import re

import pytest
from flask.testing import FlaskClient

from tests.web.household import AT_HOME, helper, household, site
from tests.web.rounds import client, give, register
from tracker.commands.register import ArchiveWatch
from tracker.commands.settings import ChangeSettings
from tracker.reach import Reach
from tracker.shortnames import in_two, short_name
from tracker.store.store import Store
from tracker.web import labels
from tracker.web.labels import in_the_way

BASE = "http://192.168.1.20:8321"
SHEET = re.compile(r'<svg class="labels on-(\w+)".*?</svg>', re.DOTALL)


@pytest.fixture
def three(store: Store) -> list[str]:
    give(store, ChangeSettings(base_address=BASE))
    return [register(store, name, 2) for name in ("Grey dial", "Almanac", "Night ferry & <b>")]


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def names(text: str) -> list[str]:
    return re.findall(r'font-weight="600">([^<]+)</text>', text)


def test_every_watch_has_its_label_by_name_until_some_are_ticked(browser: FlaskClient, three: list[str]) -> None:
    text = browser.get("/labels").text
    assert "".join(names(text)) == "AlmanacGrey dialNight ferry&amp; &lt;b&gt;"
    for uid in three:
        assert in_two(short_name(uid)) in text
    assert f"{BASE}/w/" in text
    assert names(browser.get(f"/labels?watch={three[0]}&chosen=yes").text) == ["Grey dial"]
    assert "No watch is ticked." in browser.get("/labels?chosen=yes").text
    assert " style=" not in text


def test_the_first_that_is_left_is_taken_and_what_is_no_label_is_told(browser: FlaskClient, three: list[str]) -> None:
    assert len(three) == 3
    sheets = SHEET.findall(browser.get("/labels?grid=letter-3x10&start=29").text)
    assert sheets == ["letter", "letter"]
    answer = browser.get("/labels?start=22")
    assert "“22” is no label of this sheet. Give one from 1 to 21." in answer.text
    assert SHEET.findall(browser.get("/labels?grid=nonsense&start=0").text) == ["a4"]


def test_without_an_address_it_says_what_to_do_and_draws_none(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry", 2)
    text = browser.get("/labels").text
    assert "First say where these pages are reached from your phone" in text
    assert 'href="/settings#base_address"' in text
    assert SHEET.search(text) is None


def test_without_a_watch_it_says_so(store: Store, browser: FlaskClient) -> None:
    give(store, ChangeSettings(base_address=BASE))
    assert "No watch is registered yet." in browser.get("/labels").text


def test_an_address_that_leads_nowhere_is_told_before_anything_is_printed() -> None:
    assert in_the_way(BASE, AT_HOME) == in_the_way("", Reach()) == ""
    assert in_the_way("http://127.0.0.1:8321", AT_HOME).startswith("127.0.0.1 is this machine alone")
    assert in_the_way("https://other.example", AT_HOME).startswith("These pages do not answer under other.example now.")


@pytest.mark.parametrize("write", [str, str.upper, in_two])
def test_a_label_opens_its_watch_with_the_winding_before_all_else(
    browser: FlaskClient, three: list[str], write: type[str]
) -> None:
    answer = browser.get(f"/w/{write(short_name(three[0]))}")
    assert (answer.status_code, answer.headers["Location"]) == (303, f"/watch/{three[0]}?first=wind")
    text = browser.get(answer.headers["Location"]).text
    assert text.index("Wound – it was going") < text.index('class="board"')
    assert text.count("Wound – it was going") == 1
    usual = browser.get(f"/watch/{three[0]}").text
    assert usual.index("Wound – it was going") > usual.index('class="board"')


def test_a_watch_put_away_is_opened_too_and_six_characters_of_none_are_told(
    store: Store, browser: FlaskClient, three: list[str]
) -> None:
    give(store, ArchiveWatch(watch_uid=three[0]))
    assert browser.get(f"/w/{short_name(three[0])}").status_code == 303
    assert "Grey dial" not in names(browser.get("/labels").text)
    answer = browser.get("/w/aaaaaa")
    assert (answer.status_code, "No watch has these six characters: aaaaaa." in answer.text) == (404, True)


def test_two_that_share_their_six_characters_are_asked_for(
    browser: FlaskClient, three: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(labels, "called", lambda watches, _: list(watches)[:2])
    text = browser.get("/w/aaaaaa").text
    assert "Which of them is it?" in text
    assert len(re.findall(r"\?first=wind", text)) == 2
    assert len(three) == 3


def test_a_helper_opens_a_label_and_prints_none(store: Store, three: list[str]) -> None:
    household(store)
    grete = helper(site(store))
    answer = grete.get(f"/w/{short_name(three[0])}")
    text = grete.get(answer.headers["Location"]).text
    assert text.index("Wound – it was going") < text.index('class="board"')
    assert grete.get("/labels").status_code == 403
    stranger = site(store).test_client().get(f"/w/{short_name(three[0])}")
    assert stranger.headers["Location"].startswith(f"/log-in?next=/w/{short_name(three[0])}")
