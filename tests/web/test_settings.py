"""The Settings page."""

from html import unescape

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import client, give
from tracker.collection import preferences
from tracker.commands.settings import ChangeSettings, Settings
from tracker.core.watch import Stake
from tracker.store.store import Store
from tracker.web import preferring

UID = "01936f4e-5c00-7000-8000-000000000000"


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/Berlin"))
    return client(store)


def save(store: Store, browser: FlaskClient, **fields: str) -> TestResponse:
    held = preferences(store)
    return browser.post("/settings", data={"uid": UID, "version": str(held.version), **_opened(store), **fields})


def values(store: Store) -> Settings:
    return preferences(store).values


def test_each_preference_can_be_changed(store: Store, browser: FlaskClient) -> None:
    answer = save(store, browser, zone="Asia/Kolkata", notice_h="4,5", stops_a_year_date="6", fall_percent="12")
    assert answer.status_code == 303
    now = values(store)
    assert (now.zone, now.notice_h, now.stops_a_year_date) == ("Asia/Kolkata", 4.5, 6)
    assert (now.fall_percent, now.service_interval_years) == (12, None)


def test_wrong_values_come_back_together_and_save_nothing(store: Store, browser: FlaskClient) -> None:
    before = values(store)
    answer = save(store, browser, zone="Mars/Base", notice_h="100")
    assert answer.status_code == 422
    page = unescape(answer.text)
    for kept in ("Mars/Base", "100"):
        assert f'value="{kept}"' in page
    assert "There is no time zone “Mars/Base”. Give a name such as Europe/Lisbon." in page
    assert "100 is too large. Give 72 or less." in page
    assert values(store) == before


def _opened(store: Store) -> dict[str, str]:
    return {name: "" if value is None else str(value) for name, value in preferring.fresh(values(store)).items()}


def test_stale_settings_are_a_conflict_with_the_fields_kept(store: Store, browser: FlaskClient) -> None:
    stale = str(preferences(store).version)
    give(store, ChangeSettings(**values(store).model_dump() | {"notice_h": 5.0}))
    answer = save(store, browser, version=stale, notice_h="2")
    assert answer.status_code == 409
    assert 'name="notice_h" type="text" value="2"' in answer.text
    assert "By now it says “5”." in answer.text
    assert values(store).notice_h == 5


def test_stops_a_year_are_said_as_a_risk(browser: FlaskClient) -> None:
    page = unescape(browser.get("/settings").text)
    assert "At 40 h: one wind-by in 200 may come too late. So rare a stop can't be promised by a wind-by alone" in page


@pytest.mark.parametrize("stake", ["time only", "date", "calendar"])
def test_fewer_stops_never_mean_more_risk(stake: Stake) -> None:
    def odds(stops: float) -> int:
        name = f"stops_a_year_{stake.replace(' ', '_')}"
        said = preferring.risks(Settings.model_validate({name: stops}))[stake]
        return int(said.split(" in ")[1].split()[0])

    assert odds(0.05) >= odds(4) >= odds(12) >= odds(400) == 10


def test_the_folder_and_a_way_to_back_up_are_said(store: Store, browser: FlaskClient) -> None:
    page = unescape(browser.get("/settings").text)
    assert str(store.path.parent) in page
    assert "going backup FILE" in page
    assert f"There is no backup in {store.path.parent}/backups yet." in page
