"""The page of timing readings: six positions at once, a block pasted, what they come to."""

import re
from datetime import timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.web.rounds import NOW, client, give, register
from tracker.commands.log import LogReading, VoidEntry
from tracker.commands.register import EditWatch
from tracker.store import log
from tracker.store.readings import readings
from tracker.store.register import watch as watch_of
from tracker.store.store import Store

UID = "01936f4e-5c00-7000-8000-000000000000"
DAY = timedelta(days=1)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    return client(store)


def send(browser: FlaskClient, uid: str, **fields: str) -> TestResponse:
    named = {name.replace("_at_", "-"): value for name, value in fields.items()}
    return browser.post(f"/watch/{uid}/readings", data={"uid": UID, "when": "now", "occasion": "in between", **named})


def rows(store: Store, uid: str) -> list[dict[str, Any]]:
    return log.entry_rows(store.reading(), uid)


def page(browser: FlaskClient, uid: str) -> str:
    text = re.sub(r"<[^>]+>", " ", browser.get(f"/watch/{uid}/readings").get_data(as_text=True))
    return " ".join(text.split())


def test_positions_with_a_figure_become_readings_and_others_none(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    answer = send(
        browser,
        uid,
        rate_s_per_day_at_CH="4,2",
        amplitude_deg_at_CH="285",
        rate_s_per_day_at_9H="-3",
        since_wind_min="30",
    )
    assert answer.headers["Location"] == f"/watch/{uid}/readings"
    told = {each.position: each for each in readings(store.reading(), [uid])[uid]}
    assert {position: each.rate_s_per_day for position, each in told.items()} == {"CH": 4.2, "9H": -3.0}
    assert told["CH"].lift_assumed
    assert told["CH"].since_wind_min == 30.0


def test_sent_twice_they_are_noted_once(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    for _ in range(2):
        send(browser, uid, rate_s_per_day_at_CH="4,2")
    assert len(rows(store, uid)) == 1


def test_a_pasted_block_is_taken_in(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    send(browser, uid, pasted="CH;4,2;285\nFH;3,1;280\n")
    assert {row["position"] for row in rows(store, uid)} == {"CH", "CB"}


def test_each_fault_stands_by_its_field_or_line_and_nothing_is_kept(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    answer = send(browser, uid, amplitude_deg_at_3H="400", rate_s_per_day_at_CH="fast", pasted="2H;1")
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "400 is too large. Give 360 or less." in text
    assert "“fast” is not a number. Give a number." in text
    assert "Line 1, column “position”: “2H” is not one of the choices." in text
    assert 'value="400"' in text
    assert rows(store, uid) == []


def test_no_figure_at_all_is_said(store: Store, browser: FlaskClient) -> None:
    answer = send(browser, register(store, "Night ferry"))
    assert answer.status_code == 422
    assert "No position has a figure." in answer.get_data(as_text=True)


def test_before_and_after_a_service_stand_beside_each_other(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    assert "Nothing of Night ferry has been read yet." in page(browser, uid)
    for days, occasion, amplitude in ((20, "before service", 231.0), (2, "after service", 288.0)):
        for minutes in (30, 1440):
            at, fields = (
                NOW - days * DAY + timedelta(minutes=minutes),
                {"position": "CH", "occasion": occasion, "since_wind_min": minutes},
            )
            lower = amplitude - minutes / 36
            give(
                store,
                LogReading.model_validate(
                    {"watch_uid": uid, "at": at, "zone": "UTC", "amplitude_deg": lower, "rate_s_per_day": 5, **fields}
                ),
            )
    told = page(browser, uid)
    assert "Night ferry: +5 s a day on the mean of its positions, amplitude 287° at full wind, 248° after 24 h." in told
    assert "Before a service" in told
    assert "After a service" in told
    assert "Its lift angle is assumed: no finding is drawn from such an amplitude." in told


def test_a_lift_angle_entered_later_moves_the_amplitudes_and_ends_the_assuming(
    store: Store, browser: FlaskClient
) -> None:
    uid = register(store, "Night ferry")
    send(browser, uid, amplitude_deg_at_CH="260", since_wind_min="30")
    known = watch_of(store.reading(), uid)
    assert known is not None
    give(store, EditWatch(watch_uid=uid, version=known.version, nickname="Night ferry", lift_angle_deg=49))
    told = page(browser, uid)
    assert "245° (1 reading)" in told
    assert "assumed" not in told


def test_a_reading_taken_out_is_gone(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    send(browser, uid, rate_s_per_day_at_CH="4,2")
    give(store, VoidEntry(entry_uid=rows(store, uid)[0]["uid"]))
    assert "Nothing of Night ferry has been read yet." in page(browser, uid)


def test_the_log_tells_it_and_it_can_be_corrected(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Night ferry")
    send(browser, uid, amplitude_deg_at_CH="260", since_wind_min="30")
    entry = rows(store, uid)[0]["uid"]
    assert "Timing reading, CH (dial up), 30 min after the wind; amplitude 260°; lift angle assumed" in browser.get(
        f"/watch/{uid}"
    ).get_data(as_text=True)
    form = {
        "uid": UID.replace("01936f4e", "01936f4f"),
        "when": "as noted",
        "position": "CB",
        "occasion": "in between",
        "amplitude_deg": "250",
    }
    browser.post(f"/watch/{uid}/log?entry={entry}", data=form)
    assert [(row["position"], row["amplitude_deg"]) for row in rows(store, uid)] == [("CB", 250.0)]


def test_the_seven_figures_say_that_they_are_no_certificate(store: Store, browser: FlaskClient) -> None:
    uid = register(store, "Regulator")
    for day, position in ((1, "6H"), (2, "6H"), (15, "6H")):
        fields = {
            "at": NOW - (20 - day) * DAY,
            "position": position,
            "rate_s_per_day": 1.0 * day,
            "programme_day": day,
            "temperature_c": 23,
        }
        give(store, LogReading.model_validate({"watch_uid": uid, "zone": "UTC", **fields}))
    told = page(browser, uid)
    assert "Not a certificate" in told
    assert "Resumption of rate +13.5 s a day" in told
    assert "not yet: days missing: 3, 4, 5, 6, 7, 8, 9, 10" in told
