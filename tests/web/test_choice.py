"""Two taps from the plan to another round."""

import re

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import HOUR, NOW, client, register
from tracker.store.choices import chosen
from tracker.store.store import Store
from tracker.uids import uid_of

TODAY, TOMORROW = NOW + HOUR / 12, NOW + 24 * HOUR + HOUR / 12


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def move(browser: FlaskClient, uid: str, at: str) -> str:
    answer = browser.post(f"/plan/{uid}", data={"at": at, "key": uid_of(uid, at)}, follow_redirects=True)
    assert answer.status_code == 200
    return answer.text


def days(text: str) -> dict[str, str]:
    """By day of the plan, who is wound then with what margin, without markup."""
    found = re.search(r'<dl class="fortnight">([\s\S]*?)</dl>', text)
    assert found is not None
    pairs = re.findall(r"<dt>(.*?)</dt>\s*<dd>([\s\S]*?)</dd>", found[1])
    return {day: " ".join(re.sub(r"<[^>]+>", " ", told).split()) for day, told in pairs}


def test_the_first_tap_brings_up_the_rounds_with_what_each_would_mean(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 10)
    register(store, "Day boat", 12)
    link = re.search(r'<a href="(/plan/[^"]+)">Night ferry</a>', browser.get("/").text)
    assert link is not None
    assert link[1] == f"/plan/{uid}"
    text = browser.get(link[1]).text
    buttons = re.findall(r'<button name="at" value="([^"]+)">([^<]+)</button>', text)
    assert (TOMORROW.isoformat(), "Tomorrow 07:30") in buttons
    assert "too late: it may have stopped by then" in text
    assert "with Day boat" in text


def test_the_second_moves_it_and_tells_the_new_margin_at_once(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 20)
    assert "Night ferry" in days(browser.get("/").text)["Today"]
    text = move(browser, uid, TOMORROW.isoformat())
    assert chosen(store.reading()) == {uid: TOMORROW}
    assert "Night ferry is now planned for tomorrow 07:30, " in text
    told = days(text)
    assert "Night ferry" not in told["Today"]
    assert re.search(r"Night ferry \d+ h late ?, chosen", told["Tomorrow"])


def test_undo_and_the_plan_take_it_back(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 20)
    before = days(browser.get("/").text)
    text = move(browser, uid, TOMORROW.isoformat())
    batch = re.search(r'name="batch" value="([^"]+)"', text)
    assert batch is not None
    browser.post("/log/undo", data={"batch": batch[1]})
    assert days(browser.get("/").text) == before
    browser.post(f"/plan/{uid}", data={"at": TOMORROW.isoformat(), "key": uid_of("again")})
    assert "The plan decides again when Night ferry is wound." in move(browser, uid, "")
    assert (days(browser.get("/").text), chosen(store.reading())) == (before, {})


def test_wound_it_is_planned_anew(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 20)
    assert "You chose a round for Night ferry" in move(browser, uid, TOMORROW.isoformat())
    browser.post("/log/tap", data={"do": f"wound-going {uid}", "key": "a page"})
    assert "You chose a round" not in browser.get("/").text


@pytest.mark.parametrize("at", ["yesterday", NOW.isoformat(), "2026-11-25T08:00:00+00:00"])
def test_what_is_no_round_to_come_is_refused_and_nothing_is_noted(store: Store, browser: FlaskClient, at: str) -> None:
    uid = register(store, "Night ferry", 20)
    answer = browser.post(f"/plan/{uid}", data={"at": at})
    assert answer.status_code == 422
    assert chosen(store.reading()) == {}


def test_a_watch_that_goes_by_no_round_has_no_choice(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Desk", 5, kept=False)
    for answer in (browser.get(f"/plan/{uid}"), browser.post(f"/plan/{uid}", data={"at": TOMORROW.isoformat()})):
        assert answer.status_code == 404
        assert "No round is planned for this watch" in answer.text


def test_the_same_tap_twice_moves_it_once(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 20)
    move(browser, uid, TOMORROW.isoformat())
    assert "That had been noted already" in move(browser, uid, TOMORROW.isoformat())
    assert chosen(store.reading()) == {uid: TOMORROW}
