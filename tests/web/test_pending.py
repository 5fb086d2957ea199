"""Pages while something is being worked out, or could not be."""

import re
from collections.abc import Collection
from datetime import datetime
from html import unescape

import pytest
from flask.testing import FlaskClient

from tests.web.rounds import HOUR, NOW, give, register
from tracker import derive, workedout
from tracker.collection import owner
from tracker.commands.base import Command
from tracker.commands.door import submit
from tracker.commands.log import LogSighting, LogWind
from tracker.commands.register import RegisterWatch
from tracker.derive import Line
from tracker.estimating import patience
from tracker.store.store import Store
from tracker.web.app import create_app
from tracker.web.pending import progress


def later(_store: Store, _now: datetime, _uids: Collection[str]) -> None:
    """A worker that is busy elsewhere."""


@pytest.fixture
def browser(store: Store, monkeypatch: pytest.MonkeyPatch) -> FlaskClient:
    """Pages that wait for a worker in vain, and not for long."""
    monkeypatch.setattr(patience, "LONGEST_S", 0.0)
    app = create_app(store, now=lambda: NOW, then=later)
    app.config["WTF_CSRF_ENABLED"] = False
    return app.test_client()


def shown(browser: FlaskClient, path: str) -> str:
    return unescape(browser.get(path).text)


def give_later(store: Store, *commands: Command) -> None:
    submit(store, commands, owner(store, "page", NOW), then=later)


def new(store: Store, nickname: str, **fields: object) -> str:
    """A watch of which nothing is worked out."""
    watch = RegisterWatch.model_validate({"nickname": nickname, "habit": "keep going", **fields})
    wind = LogWind(watch_uid=watch.uid, at=NOW - HOUR, zone="UTC")
    give_later(store, watch, wind)
    return watch.uid


def seen_again(store: Store, uid: str) -> None:
    give_later(store, LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="going"))


def failing(*_: object) -> None:
    raise ZeroDivisionError


def test_the_round_shows_the_last_figure_of_a_watch_and_says_so(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 25)
    assert "being worked out" not in shown(browser, "/")
    seen_again(store, uid)
    page = shown(browser, "/")
    assert re.search(r'<span class="want">by \d\d:\d\d .*; being worked out anew</p>', page)
    assert "<h1>One to wind" in page
    assert '<a href="/">Look again</a>' in page


def test_without_any_figure_the_round_says_what_is_to_come(store: Store, browser: FlaskClient) -> None:
    uid = new(store, "Night ferry")
    page = shown(browser, "/")
    assert "<h1>What to wind now is being worked out.</h1>" in page
    assert f'Being worked out: <a href="/watch/{uid}">Night ferry</a>.' in page


def test_what_is_known_is_told_before_the_rest_is_there(store: Store, browser: FlaskClient) -> None:
    register(store, "Bar buoy", 30)
    new(store, "Night ferry")
    assert "<h1>One to wind this morning so far; one still being worked out.</h1>" in shown(browser, "/")


def test_what_nobody_keeps_going_holds_up_no_first_line(store: Store, browser: FlaskClient) -> None:
    register(store, "Bar buoy", 1)
    new(store, "Night ferry", habit="when worn")
    assert "<h1>Nothing to wind before" in shown(browser, "/")


def test_the_collection_counts_and_names_what_is_to_come(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Bar buoy", 2)
    seen_again(store, uid)
    for number in range(9):
        new(store, f"Watch {number}")
    page = shown(browser, "/collection")
    assert "<h1>10 watches: 1 going, 9 being worked out.</h1>" in page
    assert re.search(r"Being worked out: (<a [^>]*>Watch \d</a>, ){5}<a [^>]*>Watch 5</a> and three more\.", page)
    assert "Worked out: 0 of 10 watches; the rest follows." in page
    assert "; being worked out anew</td>" in page


def test_a_watch_keeps_its_last_figures_until_there_are_new_ones(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry", 2)
    seen_again(store, uid)
    page = shown(browser, f"/watch/{uid}")
    assert re.search(r"<h1>Going, \d+ to \d+ h left", page)
    assert "Being worked out anew; until then these are its last figures." in page


def test_a_watch_without_figures_has_everything_else_of_its_page(store: Store, browser: FlaskClient) -> None:
    uid = new(store, "Night ferry", stated_reserve_h=42)
    page = shown(browser, f"/watch/{uid}")
    assert "<h1>Being worked out: how long it goes, and by when to wind it.</h1>" in page
    assert "Wound today 06:25." in page
    for kept in ("Wound – it was going", "Its log", "In the register", "<dd>42 h</dd>"):
        assert kept in page
    assert "Risk accepted" not in page


def test_a_watch_seen_stopped_is_told_stopped_without_any_figure(store: Store, browser: FlaskClient) -> None:
    uid = new(store, "Night ferry")
    give_later(store, LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="stopped"))
    told = "<h1>Stopped: seen so today 07:25. How long it goes is being worked out.</h1>"
    assert told in shown(browser, f"/watch/{uid}")


def test_a_page_that_waits_asks_about_what_it_waits_for_and_no_other_does(store: Store, browser: FlaskClient) -> None:
    ready, uid = register(store, "Bar buoy", 2), new(store, "Night ferry")
    assert f'data-asks="/worked-out?watch={uid}"' in shown(browser, f"/watch/{uid}")
    assert 'data-asks="/worked-out"' in shown(browser, "/")
    assert "data-asks" not in shown(browser, f"/watch/{ready}")
    assert browser.get(f"/worked-out?watch={uid}").json == {"waiting": 1, "said": ""}
    derive.catch_up(store, NOW)
    assert browser.get("/worked-out").json == {"waiting": 0, "said": ""}
    assert "live.js" not in shown(browser, "/")


def test_a_form_that_came_back_is_not_renewed_under_the_hand(store: Store, browser: FlaskClient) -> None:
    uid = new(store, "Night ferry")
    page = browser.post("/log/tap", data={"do": f"wound-stopped {uid}", f"shown-{uid}": "99:99", "when": "now"})
    assert page.status_code == 422
    assert "live.js" not in page.text


def test_what_could_not_be_worked_out_is_told_plainly(
    store: Store, browser: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workedout, "work_out_estimate", failing)
    uid = new(store, "Night ferry")
    derive.catch_up(store, NOW)
    told = "Its log is kept, and it is tried again with its next entry."
    page = shown(browser, f"/watch/{uid}")
    assert "<h1>How long it goes could not be worked out.</h1>" in page
    assert told in page
    assert "Look again" not in page
    assert "Could not be worked out: " in shown(browser, "/")
    assert "<h1>One watch: not worked out.</h1>" in shown(browser, "/collection")
    monkeypatch.undo()
    give(store, LogSighting(watch_uid=uid, at=NOW, zone="UTC", seen="going"))
    assert "could not be worked out" not in shown(browser, f"/watch/{uid}")


def test_a_day_more_of_rest_is_not_worth_saying(store: Store, browser: FlaskClient) -> None:
    register(store, "Night ferry")
    app = create_app(store, now=lambda: NOW + 24 * HOUR, then=later)
    assert "eing worked out" not in unescape(app.test_client().get("/collection").text)
    assert "eing worked out" not in shown(browser, "/collection")


@pytest.mark.parametrize(
    ("missed", "said"), [(0, ""), (3, ""), (163, "Worked out: 37 of 200 watches; the rest follows.")]
)
def test_progress_is_told_where_it_takes_more_than_a_moment(missed: int, said: str) -> None:
    assert progress(Line([str(number) for number in range(missed)], [], 200)) == said
