from datetime import datetime, timedelta
from typing import Any

import pytest

from tests.web.rounds import HOUR, LONDON, NOW, client, register
from tracker.digests import judge
from tracker.reminders.message import Message
from tracker.reminders.ring import ring
from tracker.reminders.told import Sending, Told
from tracker.store.store import Store
from tracker.web.messages import WHY, fared, head, why


def told(**more: Any) -> Told:
    given: dict[str, Any] = {
        "key": "k",
        "kind": "last call",
        "watch_uid": "w",
        "message": Message("Wind Night ferry", "Night ferry: wind by 19:00.", "k"),
        "state": "due",
        "closed_by": None,
        "due_at": NOW - HOUR,
        "changed_at": NOW,
        "sending": None,
    }
    return Told(**given | more)


def test_the_first_line_tells_what_waits_and_what_was_said_last() -> None:
    assert head([told()], [], NOW, LONDON) == "One waiting for you. Last: Wind Night ferry, today 06:25."
    closed = told(state="closed", closed_by="wound")
    assert head([closed], [], NOW, LONDON).startswith("Nothing waiting. Last:")
    later = told(state="planned", due_at=NOW + HOUR)
    assert head([], [later], NOW, LONDON) == "Nothing waiting. Next: Wind Night ferry, today 08:25."
    assert head([], [], NOW, LONDON) == "You have been told nothing yet, and nothing is to come."


@pytest.mark.parametrize(
    ("sending", "said"),
    [
        (None, "on the page; still stands"),
        (Sending("sent", NOW, ""), "sent today 07:25; still stands"),
        (Sending("possibly twice", NOW, ""), "sent today 07:25, possibly twice; still stands"),
        (Sending("waiting", None, "Down."), "not sent yet: Down; still stands"),
        (Sending("given up", None, "Refused."), "not sent, given up: Refused; still stands"),
        (Sending("waiting", None, ""), "on the page; still stands"),
    ],
)
def test_how_it_fared_is_told(sending: Sending | None, said: str) -> None:
    assert fared(told(sending=sending), NOW, LONDON) == said


def test_what_closed_or_withdrew_it_is_told() -> None:
    assert fared(told(state="closed", closed_by="wound"), NOW, LONDON) == "on the page; done: it was wound"
    assert fared(told(state="withdrawn"), NOW, LONDON).startswith("withdrawn today 07:25, before it was said")


def test_every_kind_has_its_why() -> None:
    assert {why(told(kind=kind)) for kind in WHY}


def test_the_page_lists_what_was_said_and_what_is_to_come(store: Store) -> None:
    register(store, "Night ferry", 3.0)
    browser = client(store)
    assert "Nothing waiting. Next: Wind Night ferry" in browser.get("/messages").text
    later: datetime = NOW + timedelta(hours=40)
    ring(store, later, "", LONDON, lambda *_: pytest.fail("there is no address"))
    assert "One waiting for you." in browser.get("/messages").text


def test_the_digest_of_a_round_leads_to_the_round(store: Store) -> None:
    register(store, "Night ferry", 24.0)
    judge(store, NOW, None)
    page = client(store).get("/messages").text
    assert '<a href="/">Wind Night ferry</a> <span class="sub">a round is due</span>' in page
