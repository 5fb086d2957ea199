"""The sheet for a customer: what stands on it, and what only if it is picked."""

from datetime import date

import pytest
from flask.testing import FlaskClient

from tests.web.declines import FALLING, declined
from tests.web.rounds import NOW, client, give, register
from tracker.collection import preferences
from tracker.commands.log import LogReading, LogService
from tracker.commands.register import EditWatch
from tracker.commands.settings import ChangeSettings
from tracker.core.watch import Watch
from tracker.store.store import Store
from tracker.web import sheetview

COST, PARTS = "s3cret cost", "mainspring: 1.3 × 0.115 × 350 > 1.3 × 0.11 × 360"
EVERYTHING = "chosen=yes&" + "&".join(f"show={name}" for name in sheetview.PARTS)


@pytest.fixture
def uid(store: Store) -> str:
    """A customer's watch in decline, serviced two and a half years ago."""
    name = declined(store, "Workshop spare", FALLING)
    give(
        store,
        EditWatch(watch_uid=name, nickname="Workshop spare", job_number="W-118", belongs_to="A pilot", came_in=date(2026, 11, 1), stated_reserve_h=42),
        ChangeSettings(**preferences(store).values.model_dump() | {"zone": "Europe/London", "workshop_name": "The pilot station"}),
    )  # fmt: skip
    return name


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def sheet(browser: FlaskClient, uid: str, asked: str = "") -> str:
    page = browser.get(f"/watch/{uid}/sheet?{asked}").text
    return page.partition("<article")[2].partition("</article>")[0]


def test_it_is_headed_by_workshop_job_and_owner_and_carries_the_usual_parts(browser: FlaskClient, uid: str) -> None:
    said = sheet(browser, uid)
    for part in (
        "The pilot station",
        "W-118",
        "A pilot",
        "2026-11-01",
        "Workshop spare: what was done, and how it goes",
    ):
        assert part in said
    for part in ("What was done", "Since this service", "<svg", "Its newest run-downs", "ISO 22810", "radium"):
        assert part in said
    assert ", from 36 stops" in said


def test_odds_and_cost_stand_there_only_if_picked(store: Store, browser: FlaskClient, uid: str) -> None:
    give(store, LogService.model_validate({"watch_uid": uid, "at": NOW, "zone": "UTC", "cost": COST, "parts": PARTS}))
    usual, everything = sheet(browser, uid), sheet(browser, uid, EVERYTHING)
    for said in (COST, "Chance that it has lost", "How likely", "decline is"):
        assert said not in usual.partition("</form>")[2]
    assert COST in everything
    assert "How likely a decline is" in everything
    assert "mainspring: 1.3 × 0.115 × 350 mm before, 1.3 × 0.11 × 360 mm now" in usual


def test_with_odds_picked_they_are_told_with_what_they_rest_on(browser: FlaskClient, uid: str) -> None:
    assert "Chance that it has lost 10 % or more:" in sheet(browser, uid, "chosen=yes&show=odds")


def test_a_new_service_parts_before_from_after(store: Store, browser: FlaskClient, uid: str) -> None:
    give(store, LogService(watch_uid=uid, at=NOW, zone="UTC"))
    said = sheet(browser, uid)
    assert "Before this service" in said
    assert "not tested yet: no run has been seen since" in said


def test_nothing_picked_leaves_the_head_alone(browser: FlaskClient, uid: str) -> None:
    said = sheet(browser, uid, "chosen=yes").partition("</form>")[2]
    assert "<section" not in said
    assert "<figure" not in said


def test_what_is_picked_stays_ticked_and_an_unknown_word_asks_for_nothing(browser: FlaskClient, uid: str) -> None:
    said = sheet(browser, uid, "chosen=yes&show=cost&show=nothing")
    assert said.count(" checked") == 1
    assert 'value="cost" checked' in said


def test_a_watch_of_ones_own_with_nothing_known_has_a_sheet_too(store: Store, browser: FlaskClient) -> None:
    said = sheet(browser, register(store, "Night ferry"), EVERYTHING)
    assert "No service is noted." in said
    assert "Nothing to draw yet" in said
    assert browser.get(f"/watch/{'0' * 8}/sheet").status_code == 404


def test_it_opens_nothing_by_script_and_holds_no_inline_style(browser: FlaskClient, uid: str) -> None:
    said = sheet(browser, uid, EVERYTHING)
    assert "<script" not in said
    assert " style=" not in said


def test_the_name_of_the_page_names_the_job() -> None:
    assert sheetview.title(Watch(uid="w", nickname="Tide", job_number="7")) == "Job 7: Tide"
    assert sheetview.title(Watch(uid="w", nickname="Tide")) == "Tide"


def read(watch_uid: str, occasion: str, rate: float, **more: object) -> LogReading:
    told = {
        "watch_uid": watch_uid,
        "at": NOW,
        "zone": "UTC",
        "position": "CH",
        "occasion": occasion,
        "since_wind_min": 30,
    }
    return LogReading.model_validate({**told, "rate_s_per_day": rate, "amplitude_deg": 280, **more})


def test_readings_before_and_after_stand_there_by_position(store: Store, browser: FlaskClient, uid: str) -> None:
    give(store, read(uid, "before service", -31.0), read(uid, "after service", 4.0), read(uid, "in between", 77.0))
    said = sheet(browser, uid)
    assert "Before a service" in said
    assert "After a service" in said
    assert "−31" in said
    assert "77" not in said.partition("</form>")[2].partition("How long it goes")[0]
    assert "Rate and amplitude" not in sheet(browser, uid, "chosen=yes&show=work")


def test_without_readings_beside_a_service_the_newest_stand_there(store: Store, browser: FlaskClient, uid: str) -> None:
    give(store, read(uid, "in between", 12.0))
    assert "Rate and amplitude by position" in sheet(browser, uid)
