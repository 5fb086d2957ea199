from datetime import datetime, timedelta
from typing import Any

import pytest

from tests.web.rounds import HOUR, LONDON, NOW, client, give, register
from tracker.commands.absence import KeepAbsence
from tracker.digests import judge
from tracker.reminders.message import Message
from tracker.reminders.ring import ring
from tracker.reminders.told import Sending, Told
from tracker.store.store import Store
from tracker.web.messages import WHY, fared, head, why


def told(**more: Any) -> Told:
    given: dict[str, Any] = {
        "uid": "u",
        "telling": 1,
        "key": "k",
        "kind": "last call",
        "watch_uid": "w",
        "message": Message("Wind Night ferry", "Night ferry: wind by 19:00.", "k"),
        "state": "due",
        "closed_by": None,
        "due_at": NOW - HOUR,
        "changed_at": NOW,
        "sending": (),
    }
    return Told(**given | more)


def test_the_first_line_tells_what_waits_and_what_was_said_last() -> None:
    assert head([told()], [], NOW, LONDON) == "One waiting for you. Last: Wind Night ferry, today 06:25."
    closed = told(state="closed", closed_by="wound")
    assert head([closed], [], NOW, LONDON).startswith("Nothing waiting. Last:")
    withdrawn = told(state="withdrawn", due_at=NOW + 9 * HOUR)
    assert head([withdrawn, closed], [], NOW, LONDON) == "Nothing waiting. Last: Wind Night ferry, today 06:25."
    later = told(state="planned", due_at=NOW + HOUR)
    assert head([], [later], NOW, LONDON) == "Nothing waiting. Next: Wind Night ferry, today 08:25."
    assert head([], [], NOW, LONDON) == "You have been told nothing yet, and nothing is to come."


@pytest.mark.parametrize(
    ("sending", "said"),
    [
        ((), "on the page; still stands"),
        ((Sending("Phone", "sent", NOW, ""),), "Phone: sent today 07:25; still stands"),
        ((Sending("Phone", "possibly twice", NOW, ""),), "Phone: sent today 07:25, possibly twice; still stands"),
        ((Sending("Phone", "possibly twice", None, "No."),), "Phone: it may have arrived: No; still stands"),
        ((Sending("Phone", "waiting", None, "Down."),), "Phone: not sent yet: Down; still stands"),
        ((Sending("Phone", "given up", None, "Refused."),), "Phone: not sent, given up: Refused; still stands"),
        ((Sending("Phone", "waiting", None, ""),), "Phone: waits; still stands"),
        (
            (Sending("Phone", "sent", NOW, ""), Sending("Mail", "waiting", None, "Down.")),
            "Phone: sent today 07:25; Mail: not sent yet: Down; still stands",
        ),
    ],
)
def test_how_it_fared_on_each_channel_is_told(sending: tuple[Sending, ...], said: str) -> None:
    assert fared(told(sending=sending), NOW, LONDON) == said


def test_what_a_channel_never_sent_is_told_as_withdrawn_and_why() -> None:
    wound = told(state="closed", closed_by="wound", sending=(Sending("Mail", "waiting", None, "Down."),))
    assert fared(wound, NOW, LONDON) == "Mail: withdrawn unsent, as it was no longer true (Down); done: it was wound"


def test_until_when_it_is_put_off_is_told() -> None:
    assert fared(told(put_off_until=NOW + HOUR), NOW, LONDON) == "on the page; put off until today 08:25"


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
    ring(store, later, LONDON, lambda *_: pytest.fail("there is no channel"))
    assert "One waiting for you." in browser.get("/messages").text


def test_the_digest_of_a_round_leads_to_the_round(store: Store) -> None:
    register(store, "Night ferry", 24.0)
    judge(store, NOW, None)
    page = client(store).get("/messages").text
    assert '<a href="/">Wind Night ferry</a> <span class="sub">a round is due</span>' in page


def test_who_is_away_reads_that_reminders_stand_still(store: Store) -> None:
    give(store, KeepAbsence(leave=NOW - HOUR, back=NOW + 24 * HOUR))
    assert "You are away, back tomorrow 07:25. Reminders stand still until then." in client(store).get("/messages").text
