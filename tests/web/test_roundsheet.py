"""The sheet of the rounds to come, and what was written on it typed in at once."""

import re
from datetime import timedelta

import pytest
from flask.testing import FlaskClient

from tests.web.household import helper, household, site
from tests.web.rounds import HOUR, NOW, client, give, register
from tracker.commands.absence import KeepAbsence
from tracker.commands.register import RegisterWatch
from tracker.commands.settings import ChangeSettings
from tracker.store import log
from tracker.store.store import Store
from tracker.uids import uid_of

KEY = uid_of("form")


@pytest.fixture
def two(store: Store) -> list[str]:
    give(store, ChangeSettings(zone="Europe/London", rounds_on_weekdays=("07:30",), rounds_at_weekends=("09:00",)))
    return [register(store, "Night ferry", 30.0), register(store, "Grey dial", 5.0)]


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def sections(text: str) -> list[list[str]]:
    return [re.findall(r"☐ ([^<]+)</th>", part) for part in text.split('<section class="visit')[1:]]


def test_today_it_names_what_the_round_wants_with_a_box_a_time_and_how_it_was(
    browser: FlaskClient, two: list[str]
) -> None:
    assert len(two) == 2
    text = browser.get("/round/sheet").text
    assert "<h1>To be wound: one</h1>" in text
    assert sections(text) == [["Night ferry"]]
    assert "Wed 2026-11-25, 07:30" in text
    assert ("☐ was going" in text, "☐ had stopped" in text, 'class="to-write"' in text) == (True, True, True)
    assert "Wind it until you feel resistance, no further." in text


def test_of_several_days_every_round_has_its_part(browser: FlaskClient, two: list[str]) -> None:
    assert len(two) == 2
    text = browser.get("/round/sheet?days=7").text
    assert len(sections(text)) >= 3
    assert {name for part in sections(text) for name in part} == {"Night ferry", "Grey dial"}
    assert sections(browser.get("/round/sheet?days=nonsense").text) == [["Night ferry"]]


def test_with_nothing_to_wind_it_says_so(store: Store, browser: FlaskClient) -> None:
    assert "Nothing to wind today." in browser.get("/round/sheet").text
    register(store, "At rest", 2, kept=False)
    assert "Nothing to wind in seven days." in browser.get("/round/sheet?days=7").text


def test_an_absence_closes_its_rounds_and_leads_to_a_sheet_for_who_comes_by(
    store: Store, browser: FlaskClient, two: list[str]
) -> None:
    assert len(two) == 2
    give(store, KeepAbsence(leave=NOW + timedelta(hours=27), back=NOW + timedelta(days=4)))
    text = browser.get("/round/sheet?days=3").text
    assert ("Thu 2026-11-26" in text, "Fri 2026-11-27" in text) == (True, False)
    (address,) = re.findall(r'href="(/away\?leave=[^"]+)"', text)
    assert "Wound while you are away" in browser.get(address.replace("&amp;", "&")).text


def test_the_sheet_leads_to_the_form_with_its_day_and_its_watches(browser: FlaskClient, two: list[str]) -> None:
    (address,) = re.findall(r'href="(/round/written[^"]+)"', browser.get("/round/sheet").text)
    text = browser.get(address.replace("&amp;", "&")).text
    assert 'value="2026-11-25"' in text
    assert (f"act-{two[0]}" in text, f"act-{two[1]}" in text) == (True, False)


def test_what_was_written_is_one_change(store: Store, browser: FlaskClient, two: list[str]) -> None:
    form = {
        "key": KEY, "day": "2026-11-24", "usual": "2130",
        f"act-{two[0]}": "wound-going", f"time-{two[0]}": "7:10", f"act-{two[1]}": "seen-stopped", f"time-{two[1]}": "",
    }  # fmt: skip
    for _ in range(2):
        assert browser.post("/round/written", data=form).headers["Location"] == "/round/written?day=2026-11-24"
    first, second = (log.entry_rows(store.reading(), uid) for uid in two)
    assert [(row["at_utc"], row["found"], row["within_min"]) for row in first if row["table"] == "winding"][:1] == [
        ("2026-11-24T07:10:00Z", "going", 10.0)
    ]
    assert [(row["at_utc"], row["seen"]) for row in second if row["table"] == "sighting"] == [
        ("2026-11-24T21:30:00Z", "stopped")
    ]
    assert "Noted: two of 2026-11-24." in browser.get("/round/written").text
    browser.post("/log/undo")
    assert [len(log.entry_rows(store.reading(), uid)) for uid in two] == [1, 1]


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "Nothing is said of any watch. Choose how one was."),
        ({"day": ""}, "No day is given. Choose one."),
        ({"act": "wound-going"}, "No time is given. Give it as 07:30, or one for all above."),
        ({"act": "wound-going", "time": "soon"}, "“soon” is not a time on the clock. Give it as 07:30."),
        ({"time": "07:30"}, "It is not said how it was. Choose one."),
        ({"act": "stolen", "time": "07:30"}, "It is not said how it was. Choose one."),
        ({"act": "wound-going", "time": "07:30", "day": "2026-11-26"}, "This time lies in the future."),
        ({"act": "wound-going", "time": "01:30", "day": "2026-03-29"}, "The clocks of Europe/London skipped"),
    ],
    ids=["nothing", "no day", "no time", "no clock", "no act", "another act", "future", "skipped"],
)
def test_what_cannot_be_taken_is_said_once_by_its_field_and_nothing_is_noted(
    store: Store, browser: FlaskClient, two: list[str], *, fields: dict[str, str], said: str
) -> None:
    named = {name if name == "day" else f"{name}-{two[0]}": value for name, value in fields.items()}
    answer = browser.post("/round/written", data={"key": KEY, "day": "2026-11-24", **named})
    assert (answer.status_code, answer.text.count(said)) == (422, 1)
    assert "-problem" in answer.text
    assert len(log.entry_rows(store.reading(), two[0])) == 1


def test_a_helper_prints_it_and_types_it_in(store: Store, two: list[str]) -> None:
    household(store)
    give(store, RegisterWatch(nickname="of a customer", job_number="W-1"))
    grete = helper(site(store))
    assert "Night ferry" in grete.get("/round/sheet").text
    assert "of a customer" not in grete.get("/round/written").text
    form = {"key": KEY, "day": "2026-11-25", f"act-{two[0]}": "wound-stopped", f"time-{two[0]}": "06:00"}
    assert grete.post("/round/written", data=form).status_code == 303
    assert log.entry_rows(store.reading(), two[0])[0]["at_utc"] == (NOW - HOUR - timedelta(minutes=25)).strftime(
        "%Y-%m-%dT%H:%M:%SZ"
    )
