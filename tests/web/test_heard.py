"""What a sensor left open, asked on the pages and settled by a tap."""

import re
from datetime import timedelta

import pytest

from tests.listening import beats, hears, lies
from tests.web.rounds import HOUR, NOW, client, register
from tracker import derive, figures
from tracker.store import log, sensors
from tracker.store.store import Store

MINUTE = timedelta(minutes=1)
WOUND = NOW - 44 * HOUR
LIFTED = NOW - 20 * HOUR
BACK = LIFTED + 30 * MINUTE


@pytest.fixture
def uid(store: Store) -> str:
    uid = register(store, "Night ferry", 44)
    lies(store, uid, WOUND)
    return uid


def _page(store: Store, address: str) -> str:
    derive.catch_up(store, NOW)
    return client(store).get(address).get_data(as_text=True)


def _form(page: str) -> dict[str, str]:
    """The hidden fields of the first question."""
    (form, *_) = re.findall(r'<form class="asked".*?</form>', page, re.DOTALL)
    return dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form))


def _answer(store: Store, uid: str, word: str) -> str:
    fields = _form(_page(store, f"/watch/{uid}")) | {"do": word}
    return client(store).post(f"/watch/{uid}/heard", data=fields, follow_redirects=True).get_data(as_text=True)


def test_both_pages_ask_in_one_line_with_its_buttons(store: Store, uid: str) -> None:
    hears(store, [(WOUND + 5 * MINUTE, LIFTED, "stopped")])
    for address in ("/", f"/watch/{uid}"):
        page = _page(store, address)
        assert "Had it stopped, or did you pick it up?" in page
        assert re.findall(r'name="do" value="(stopped|lifted)"', page) == ["stopped", "lifted"]


def test_lifted_it_is_asked_no_more_and_taken_back_it_is_again(store: Store, uid: str) -> None:
    hears(store, [(WOUND + 5 * MINUTE, LIFTED, "stopped")])
    told = _answer(store, uid, "lifted")
    assert "Noted of Night ferry." in told
    assert "did you pick it up" not in told
    assert figures.one(store, uid, NOW).history.runs == ()
    client(store).post("/log/undo", data={})
    assert "did you pick it up" in _page(store, f"/watch/{uid}")


@pytest.mark.parametrize(
    ("word", "noted"),
    [
        ("wound-going", ("full", "going")),
        ("wound-stopped", ("full", "stopped")),
        ("wound-part", ("part", "not noticed")),
    ],
)
def test_a_winding_that_is_suggested_goes_into_the_log_once_it_is_confirmed(
    store: Store, uid: str, word: str, noted: tuple[str, str]
) -> None:
    hears(store, [(WOUND + 5 * MINUTE, LIFTED, "stopped"), (BACK, NOW - MINUTE, "open")])
    assert "Was it wound at about 11:55?" in _page(store, f"/watch/{uid}")
    assert len(log.entry_rows(store.reading(), uid)) == 1
    page = _answer(store, uid, word)
    (row, _) = log.entry_rows(store.reading(), uid)
    assert (row["amount"], row["found"]) == noted
    assert row["at_utc"] == "2026-11-24T11:55:00Z"
    assert "Was it wound at about" not in page


def test_not_wound_the_run_goes_on(store: Store, uid: str) -> None:
    hears(store, [(WOUND + 5 * MINUTE, LIFTED, "stopped"), (BACK, NOW - MINUTE, "open")])
    assert figures.look(store, uid, NOW).history.current.heard_on is False  # type: ignore[union-attr]
    _answer(store, uid, "not wound")
    current = figures.one(store, uid, NOW).history.current
    assert current is not None
    assert (current.heard_on, round(current.seen_going_h)) == (True, 44)


def test_a_double_tap_is_one_answer(store: Store, uid: str) -> None:
    hears(store, [(WOUND + 5 * MINUTE, LIFTED, "stopped")])
    fields = _form(_page(store, f"/watch/{uid}")) | {"do": "lifted"}
    for _ in range(2):
        told = client(store).post(f"/watch/{uid}/heard", data=fields, follow_redirects=True)
    assert "That had been noted already" in told.get_data(as_text=True)


def test_without_a_button_nothing_is_noted(store: Store, uid: str) -> None:
    told = client(store).post(f"/watch/{uid}/heard", data={"do": "nothing"})
    assert told.status_code == 422
    assert "Use one of the buttons." in told.get_data(as_text=True)


def test_a_run_whose_stop_was_heard_says_so(store: Store, uid: str) -> None:
    hears(store, [(WOUND + 5 * MINUTE, NOW - 4 * HOUR, "stopped")])
    page = _page(store, f"/watch/{uid}")
    assert "Stopped between today 03:25 and 03:26, by its sensor" in page
    assert "Stopped: seen so" not in page


def test_beats_of_another_watch_are_asked_about_and_it_is_taken_off_since_then(store: Store, uid: str) -> None:
    hears(store, [(WOUND + 5 * MINUTE, LIFTED, "unknown")])
    beats(store, [(BACK + minute * MINUTE, 480.0) for minute in range(60)], per_hour=18_000)
    page = _page(store, f"/watch/{uid}")
    assert "does not beat as this watch does. Does another watch lie there?" in page
    assert "Does another watch lie there?" not in _answer(store, uid, "another watch")
    (stay,) = sensors.assignments(store.reading(), watch_uid=uid)
    assert stay.to_s == BACK.timestamp()


@pytest.mark.usefixtures("uid")
def test_the_round_says_when_it_was_heard_going(store: Store) -> None:
    hears(store, [(WOUND + 5 * MINUTE, NOW - 2 * HOUR, "open")])
    assert "heard going today 05:25" in _page(store, "/")
