"""What a script sends of taps: at once or late, once, by whom, and what is said of it."""

import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.household import HELPERS, OWNERS, household, logged_in, site
from tests.web.rounds import NOW, client, register
from tracker.store import log
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app

LATE = {"late": "yes", "ago_s": "5400", "zone": "Europe/Berlin", "key": "of the tap"}


@pytest.fixture
def watch(store: Store) -> str:
    return register(store, "Night ferry", 80)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def told(answer: TestResponse) -> dict[str, str]:
    found: dict[str, str] = answer.get_json()
    return found


def winds(store: Store, watch: str) -> list[tuple[str, str]]:
    return [(row["at_utc"], row["zone"]) for row in log.entry_rows(store.reading(), watch)[:-1]]


def said(browser: FlaskClient) -> str:
    return " ".join(re.findall(r'<div class="done" role="status">\s*<p>(.*?)</p>', browser.get("/").text))


def test_a_late_tap_has_its_own_time_and_zone_and_is_said(store: Store, watch: str, browser: FlaskClient) -> None:
    answer = browser.post("/log/kept", data={"do": f"wound-going {watch}", **LATE})
    assert (answer.status_code, answer.json) == (200, {"to": "/"})
    assert winds(store, watch) == [("2026-11-25T05:55:00Z", "Europe/Berlin")]
    assert said(browser) == "Sent: Night ferry wound today 06:55, found going."


def test_it_is_one_change_however_often_it_comes(store: Store, watch: str, browser: FlaskClient) -> None:
    for _ in range(3):
        assert browser.post("/log/kept", data={"do": f"wound-going {watch}", **LATE}).status_code == 200
    assert len(winds(store, watch)) == 1


def test_a_tap_that_came_at_once_is_said_as_any(watch: str, browser: FlaskClient) -> None:
    data = {"do": f"wound-going {watch}", "key": "k", "ago_s": "0.2", "next": f"/watch/{watch}"}
    assert browser.post("/log/kept", data=data).json == {"to": f"/watch/{watch}"}
    assert said(browser) == "Noted: Night ferry wound now, found going."
    again = {"do": f"wound-going {watch}", "key": "k2", "next": "https://other.example/"}
    assert browser.post("/log/kept", data=again).json == {"to": "/"}


@pytest.mark.parametrize(
    ("when", "clock", "expected"),
    [
        ("this morning", "", ("2026-11-24T07:00:00Z", "yesterday in the morning")),
        ("last night", "", ("2026-11-23T22:00:00Z", "Mon at night")),
        ("about", "06:50", ("2026-11-24T05:50:00Z", "yesterday 06:50")),
    ],
)
def test_words_for_a_time_are_read_as_on_the_day_of_the_tap(
    store: Store, watch: str, when: str, clock: str, expected: tuple[str, str]
) -> None:
    browser, (at, sentence) = client(store), expected
    data = {**LATE, "do": f"wound-going {watch}", "ago_s": "86400", "when": when, "clock": clock}
    assert browser.post("/log/kept", data=data).status_code == 200
    assert winds(store, watch)[0][0] == at
    assert said(browser) == f"Sent: Night ferry wound {sentence}, found going."


def test_what_was_taken_back_meanwhile_is_taken_out_if_it_arrived(
    store: Store, watch: str, browser: FlaskClient
) -> None:
    tapped = {"do": f"wound-going {watch}", **LATE}
    assert browser.post("/log/kept", data={**tapped, "withdrawn": "yes"}).status_code == 200
    assert winds(store, watch) == []
    browser.post("/log/kept", data=tapped)
    for _ in range(2):
        assert browser.post("/log/kept", data={**tapped, "withdrawn": "yes"}).status_code == 200
        assert winds(store, watch) == []


def test_what_cannot_be_noted_is_refused_in_a_sentence(store: Store, watch: str, browser: FlaskClient) -> None:
    wrong = browser.post("/log/kept", data={"do": f"wound-stopped {watch}", f"shown-{watch}": "99:99", **LATE})
    assert wrong.status_code == 422
    assert told(wrong)["problem"].startswith("“99:99” is not a time on a dial. Give")
    gone = browser.post("/log/kept", data={"do": f"wound-going {uid_of('gone')}", **LATE})
    assert (gone.status_code, told(gone)) == (404, {"problem": "There is no such watch, or no longer."})
    assert winds(store, watch) == []


@pytest.mark.parametrize("ago", ["soon", "nan", "1e9", "inf"])
def test_a_tap_of_no_known_time_notes_nothing(store: Store, watch: str, browser: FlaskClient, ago: str) -> None:
    answer = browser.post("/log/kept", data={"do": f"wound-going {watch}", **LATE, "ago_s": ago})
    assert told(answer)["problem"] == (
        "It is not known when this was tapped; nothing was noted. Note it on the page of the watch."
    )
    assert winds(store, watch) == []


@pytest.mark.parametrize(("ago", "zone"), [("-500", "Europe/Berlin"), ("0", "../../etc/passwd"), ("0", "")])
def test_a_clock_set_back_and_a_zone_unknown_do_no_harm(
    store: Store, watch: str, browser: FlaskClient, ago: str, zone: str
) -> None:
    browser.post("/log/kept", data={"do": f"wound-going {watch}", **LATE, "ago_s": ago, "zone": zone})
    assert winds(store, watch)[0][0] == "2026-11-25T07:25:00Z"


def test_a_fresh_token_is_had_and_an_old_one_is_said_to_be_old(store: Store, watch: str) -> None:
    guarded = create_app(store, now=lambda: NOW).test_client()
    tapped = {"do": f"wound-going {watch}", **LATE}
    old = guarded.post("/log/kept", data=tapped, headers={"X-CSRFToken": "of yesterday"})
    assert (old.status_code, old.json) == (400, {"stale": "yes"})
    whose = guarded.get("/log/kept")
    assert whose.headers["Cache-Control"] == "no-store"
    assert guarded.post("/log/kept", data=tapped, headers={"X-CSRFToken": told(whose)["token"]}).status_code == 200


def test_who_is_logged_in_is_told_and_others_are_sent_to_log_in(store: Store) -> None:
    household(store)
    app = site(store, now=NOW + timedelta(minutes=1))
    assert app.test_client().get("/log/kept").status_code == 303
    assert app.test_client().post("/log/kept").status_code == 303
    browsers = [logged_in(app, name, word) for name, word in (("", OWNERS), ("Grete", HELPERS))]
    assert len({told(browser.get("/log/kept"))["person"] for browser in browsers}) == 2
