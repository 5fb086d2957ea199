"""A link from a message: it opens one reminder, is used once, and to look changes nothing."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from html import unescape
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.cuesaid import say_cue
from tests.reminders.channels import add
from tests.reminders.duly import last_call
from tests.web.rounds import HOUR, NOW, give
from tracker import cues
from tracker.collection import preferences
from tracker.commands.log import LogWind
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.reminders.answer import Answer
from tracker.reminders.links import LASTS
from tracker.reminders.message import Message
from tracker.reminders.outbox import replan
from tracker.reminders.plan import KeptWatch
from tracker.reminders.reminder import ROUND, RoundReminder, reminder_row
from tracker.reminders.ring import ring
from tracker.reminders.roundfacts import Named, RoundFacts
from tracker.reminders.told import newest
from tracker.store import log
from tracker.store import reminders as rows
from tracker.store.store import Store
from tracker.uids import uid_of
from tracker.web.app import create_app
from tracker.web.statics import digest

BASE = "https://watches.example"
STYLE = f"/static/{digest()}/going.css"
A, B, C = uid_of("a"), uid_of("b"), uid_of("c")
CALL, DIGEST = uid_of("call"), uid_of("digest")
ZONE = ZoneInfo("UTC")
USED = "This link was used already. Nothing more was changed."


class Clock:
    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def household(store: Store) -> Store:
    watches = [RegisterWatch(uid=uid, nickname=name) for uid, name in ((A, "Night ferry"), (B, "Pier"), (C, "Chart"))]
    give(store, *watches)
    give(store, LogWind(watch_uid=A, at=NOW - 30 * HOUR, zone="UTC"))
    held = preferences(store).values
    give(store, ChangeSettings(**held.model_dump() | {"base_address": BASE, "zone": "UTC"}))
    add(store, "Phone", "http://x")
    return store


@pytest.fixture
def browser(household: Store, clock: Clock) -> FlaskClient:
    """Whoever has the link: without a session, as far as it is served."""
    return create_app(household, now=clock).test_client(use_cookies=False)


def _sent(store: Store, now: datetime = NOW) -> list[Message]:
    sent: list[Message] = []

    def send(_address: str, message: Message) -> Answer:
        sent.append(message)
        return Answer("sent")

    while ring(store, now, ZONE, send):
        pass
    return sent


@pytest.fixture
def called(household: Store) -> str:
    """The path of the link in the last call of Night ferry."""
    last_call(household, CALL, NOW, watch_uid=A)
    (message,) = _sent(household)
    assert message.body == f"{message.text}\nDone, or put off: {message.link}"
    return message.link.removeprefix(BASE)


@pytest.fixture
def digested(household: Store) -> str:
    """The path of the link in the digest of a round of three watches, of which one is wound."""
    names = ((A, "Night ferry"), (B, "Pier"), (C, "Chart"))
    named = tuple(Named(watch_uid=uid, nickname=name, at_hand=True) for uid, name in names)
    digest = RoundReminder(
        uid=DIGEST,
        kind=ROUND,
        subject_uid="round",
        episode="e",
        ordinal=1,
        due_at=NOW,
        useful_until=NOW + 12 * HOUR,
        facts=RoundFacts(at=NOW, named=named, wound=(C,)),
        state="due",
        planned_at=NOW - HOUR,
    )
    with household.change() as db:
        rows.write_reminder(db, reminder_row(digest, NOW))
    (message,) = _sent(household)
    return message.link.removeprefix(BASE)


def _winds(store: Store) -> list[tuple[str, str, str]]:
    found = [row for row in log.all_entry_rows(store.reading()) if row["table"] == "winding"]
    return sorted((row["nickname"], row["found"], row["origin"]) for row in found if row["origin"] != "page")


def _everything(store: Store) -> list[str]:
    return list(store.reading().conn.iterdump())


def _said(answer: TestResponse) -> str:
    return unescape(answer.text)


def test_the_message_ends_in_a_link_only_where_the_owner_gave_an_address(household: Store) -> None:
    held = preferences(household).values
    give(household, ChangeSettings(**held.model_dump() | {"base_address": ""}))
    last_call(household, CALL, NOW, watch_uid=A)
    (message,) = _sent(household)
    assert (message.link, message.body) == ("", message.text)


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_to_look_changes_nothing_however_often(
    household: Store, browser: FlaskClient, called: str, method: str
) -> None:
    before = _everything(household)
    for _ in range(3):
        assert browser.open(called, method=method).status_code == 200
    assert _everything(household) == before
    assert browser.post(called, data={f"found-{A}": "going"}).status_code == 200


def test_it_shows_what_the_message_said_and_the_buttons_and_leads_nowhere_else(
    browser: FlaskClient, called: str
) -> None:
    answer = browser.get(called)
    page = _said(answer)
    for said in (
        "Wind Night ferry",
        "Night ferry: wind by today 10:25",
        "Wound – it was going",
        "Wound – it had stopped",
    ):
        assert said in page
    assert "Pier" not in page
    assert "<nav" not in page
    assert "<a " not in page
    assert "Set-Cookie" not in answer.headers
    assert "noindex" in answer.headers["X-Robots-Tag"]
    assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("found", ["going", "stopped"])
def test_done_logs_the_wind_as_it_was_found_and_closes_the_reminder(
    household: Store, browser: FlaskClient, called: str, found: str
) -> None:
    assert "Noted: Night ferry wound now." in _said(browser.post(called, data={f"found-{A}": found}))
    assert _winds(household) == [("Night ferry", found, "message")]
    again = browser.post(called, data={f"found-{A}": found})
    assert (again.status_code, USED in _said(again)) == (410, True)
    assert USED in _said(browser.get(called))
    assert len(_winds(household)) == 1


def test_put_off_it_is_told_again_with_a_link_of_its_own(
    household: Store, browser: FlaskClient, clock: Clock, called: str
) -> None:
    answer = browser.post(called, data={"until": "2026-11-25T08:25+0000"})
    assert "Put off until today 08:25. You are told again then, if it is still true." in _said(answer)
    assert browser.post(called, data={f"found-{A}": "going"}).status_code == 410
    assert _sent(household, NOW + HOUR / 2) == []
    clock.now = NOW + HOUR
    (message,) = _sent(household, clock.now)
    second = message.link.removeprefix(BASE)
    assert second != called
    assert "Noted:" in _said(browser.post(second, data={f"found-{A}": "going"}))
    assert _winds(household) == [("Night ferry", "going", "message")]


@pytest.mark.parametrize(
    ("until", "said"),
    [
        ("2026-11-25T10:25+0000", "By then it is too late; nothing was put off."),
        ("2027-11-25T10:25+0000", "By then it is too late; nothing was put off."),
        ("2026-11-25T07:00+0000", "This moment has passed. Choose one that is to come."),
        ("soon", "“soon” is not a date with a time."),
    ],
)
def test_a_moment_that_is_not_offered_puts_nothing_off_and_leaves_the_link(
    household: Store, browser: FlaskClient, called: str, until: str, said: str
) -> None:
    answer = browser.post(called, data={"until": until})
    assert (answer.status_code, said in _said(answer)) == (422, True)
    assert household.reading().execute("SELECT count(*) FROM snooze").fetchone() == (0,)
    assert browser.post(called, data={"until": "2026-11-25T08:25+0000"}).status_code == 200


@pytest.mark.parametrize("form", [{}, {f"found-{A}": "broken"}, {f"found-{B}": "going"}, {"found-": "going"}])
def test_an_answer_that_says_nothing_of_its_watch_notes_nothing(
    household: Store, browser: FlaskClient, called: str, form: dict[str, str]
) -> None:
    answer = browser.post(called, data=form)
    assert answer.status_code == 422
    assert "It is not said what was wound; nothing was noted." in _said(answer)
    assert _winds(household) == []


def test_a_digest_asks_of_each_watch_still_open(household: Store, browser: FlaskClient, digested: str) -> None:
    page = _said(browser.get(digested))
    assert f"found-{A}" in page
    assert f"found-{B}" in page
    assert "Chart" not in page
    answer = browser.post(digested, data={f"found-{A}": "going", f"found-{B}": "stopped", f"found-{C}": "going"})
    assert "Noted: Night ferry and Pier wound now." in _said(answer)
    assert _winds(household) == [("Night ferry", "going", "message"), ("Pier", "stopped", "message")]
    assert browser.get(digested).status_code == 410


def test_a_whole_digest_is_answered_by_one_button(household: Store, browser: FlaskClient, digested: str) -> None:
    browser.post(digested, data={"all": "going", f"found-{A}": "", f"found-{B}": ""})
    assert _winds(household) == [("Night ferry", "going", "message"), ("Pier", "going", "message")]


def test_a_link_of_one_reminder_answers_no_other(browser: FlaskClient, called: str, digested: str) -> None:
    assert called != digested
    browser.post(called, data={f"found-{A}": "going"})
    assert browser.get(digested).status_code == 200


def _flipped(path: str) -> str:
    return path[:6] + ("0" if path[6] != "0" else "1") + path[7:]


@pytest.mark.parametrize("change", [_flipped, lambda path: path[:-1], lambda path: f"{path}a", lambda _: "/m/x"])
def test_an_altered_link_says_so_and_changes_nothing(
    household: Store, browser: FlaskClient, called: str, change: Callable[[str], str]
) -> None:
    before = _everything(household)
    for answer in (browser.get(change(called)), browser.post(change(called), data={f"found-{A}": "going"})):
        assert answer.status_code == 404
        assert "This link is not whole, or not one of ours. Nothing was changed." in _said(answer)
        assert "Night ferry" not in _said(answer)
    assert _everything(household) == before


def test_a_link_of_another_collection_says_so(household: Store, browser: FlaskClient, called: str) -> None:
    Path(household.path.parent / "link-key").write_text("0" * 64)
    assert browser.get(called).status_code == 404


def test_an_expired_link_says_so(household: Store, browser: FlaskClient, clock: Clock, called: str) -> None:
    clock.now = NOW + LASTS
    for answer in (browser.get(called), browser.post(called, data={f"found-{A}": "going"})):
        assert (answer.status_code, "This link has expired. Nothing was changed." in _said(answer)) == (410, True)
    assert _winds(household) == []


@pytest.mark.parametrize("state", ["closed", "withdrawn"])
def test_of_a_reminder_that_is_over_no_more_is_said_than_that(
    household: Store, browser: FlaskClient, called: str, state: str
) -> None:
    with household.change() as db:
        db.execute("UPDATE reminder SET state = ?", [state])
    answer = browser.post(called, data={f"found-{A}": "going"})
    assert (answer.status_code, "This reminder is over. Nothing is left to do." in _said(answer)) == (410, True)
    assert "Night ferry" not in _said(answer)
    assert _winds(household) == []


def test_answered_twice_at_the_same_moment_it_is_answered_once(household: Store, clock: Clock, digested: str) -> None:
    app = create_app(household, now=clock)

    def answer(uid: str) -> int:
        return app.test_client(use_cookies=False).post(digested, data={f"found-{uid}": "going"}).status_code

    with ThreadPoolExecutor(4) as hands:
        statuses = list(hands.map(answer, [A, B, A, B]))
    assert sorted(statuses) == [200, 410, 410, 410]
    assert len(_winds(household)) == 1


def test_a_wind_taken_back_leaves_the_link_used(household: Store, browser: FlaskClient, called: str) -> None:
    browser.post(called, data={f"found-{A}": "going"})
    inside = create_app(household, now=lambda: NOW)
    inside.config["WTF_CSRF_ENABLED"] = False
    inside.test_client().post("/log/undo")
    assert _winds(household) == []
    assert USED in _said(browser.get(called))


def test_a_watch_that_is_no_more_says_so(household: Store, browser: FlaskClient) -> None:
    last_call(household, CALL, NOW, watch_uid=uid_of("gone"))
    (message,) = _sent(household)
    answer = browser.post(message.link.removeprefix(BASE), data={f"found-{uid_of('gone')}": "going"})
    assert (answer.status_code, "There is no such watch, or no longer." in _said(answer)) == (404, True)


def test_from_another_sites_page_it_changes_nothing(household: Store, browser: FlaskClient, called: str) -> None:
    answer = browser.post(called, data={f"found-{A}": "going"}, headers={"Origin": "https://other.example"})
    assert answer.status_code == 403
    assert _winds(household) == []


def test_under_the_address_given_links_are_answered_and_nothing_else(browser: FlaskClient, called: str) -> None:
    host = {"Host": "watches.example"}
    assert browser.get(called, headers=host).status_code == 200
    with browser.get(STYLE, headers=host) as style:
        assert style.status_code == 200
    for path in ("/", "/settings", "/messages", "/collection", "/log/tap", "/nowhere"):
        assert browser.get(path, headers=host).status_code == 421
    assert browser.get(called, headers={"Host": "other.example"}).status_code == 421
    posted = browser.post(called, data={f"found-{A}": "going"}, headers={**host, "Origin": BASE})
    assert posted.status_code == 200


def test_messages_lead_to_the_same_page_while_it_can_be_answered(household: Store, called: str) -> None:
    inside = create_app(household, now=lambda: NOW).test_client()
    page = unescape(inside.get("/messages").text)
    path = page.partition('href="/m/')[2].partition('"')[0]
    answer = inside.post(f"/m/{path}", data={"until": "2026-11-25T08:25+0000"})
    assert "To the messages" in answer.text
    page = unescape(inside.get("/messages").text)
    assert "put off until today 08:25" in page
    assert 'href="/m/' not in page
    assert inside.get(called).status_code == 410
    (told,) = newest(household.reading(), ZONE, NOW)
    assert told.put_off_until == NOW + HOUR


def test_a_cue_can_be_put_off_and_asks_for_no_winding(household: Store, browser: FlaskClient, clock: Clock) -> None:
    say_cue(household, B, NOW)
    with household.change() as db:
        cues.retell(db, [B], NOW)
    clock.now = NOW + 24 * HOUR
    (message,) = _sent(household, clock.now)
    assert message.title == "Dora: keep an eye on it"
    path = message.link.removeprefix(BASE)
    page = _said(browser.get(path))
    assert "Wound" not in page
    assert "tomorrow 08:00" in page
    assert browser.post(path, data={f"found-{B}": "going"}).status_code == 422
    assert browser.post(path, data={"until": "2026-11-27T08:00+0000"}).status_code == 200
    assert _sent(household, NOW + 47 * HOUR) == []
    assert [each.title for each in _sent(household, NOW + 49 * HOUR)] == [message.title]


def test_a_look_of_a_kept_watch_is_answered_like_a_call(household: Store, browser: FlaskClient) -> None:
    with household.change() as db:
        replan(db, [KeptWatch(A, "Night ferry", "wind-1", NOW - 30 * HOUR, NOW + timedelta(hours=2))], 3, NOW)
    (message,) = _sent(household)
    assert "Wound – it had stopped" in _said(browser.get(message.link.removeprefix(BASE)))
