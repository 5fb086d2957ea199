import re
from contextlib import closing
from datetime import timedelta
from html import unescape

import pytest
from flask.testing import FlaskClient

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import SENSORS, users_of
from sensors.hearing import Around, Hearing
from tests.web.rounds import NOW, client, give, register
from tracker.commands.sensor import AddSensor, LayOnSensor
from tracker.commands.settings import ChangeSettings
from tracker.store import sensors
from tracker.store.sensed.migrations import open_sensed
from tracker.store.store import Store
from tracker.web.app import create_app
from tracker.web.broker import BROKER_KEY, Known

UID = "01936f4e-5c00-7000-8000-000000000000"
HOUR = timedelta(hours=1)


@pytest.fixture
def browser(store: Store) -> FlaskClient:
    give(store, ChangeSettings(zone="Europe/London"))
    return client(store)


@pytest.fixture
def tray(store: Store) -> str:
    give(store, ChangeSettings(zone="Europe/London"))
    watch, sensor = register(store, "Night ferry", 3.0), AddSensor(name="tray-3", topic="house/tray/3", expected_s=60)
    give(store, sensor, LayOnSensor(sensor_uid=sensor.uid, watch_uid=watch, at=NOW - 10 * HOUR))
    return sensor.uid


def hears(store: Store, uid: str) -> None:
    """Readings of every ten minutes, going until two hours ago; the newest a minute old."""
    now_s = NOW.timestamp()
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        db.execute(
            "INSERT INTO sensed (sensor_uid, arrived_s, topic, payload, newest_s, readings, rejected) "
            "VALUES (?, ?, 'x', CAST('x' AS BLOB), ?, 61, 1)",
            [uid, now_s - 60, now_s - 60],
        )
        rows = [(now_s - 60 - 600 * number, float(number > 12)) for number in range(61)]
        db.conn.executemany("INSERT INTO reading VALUES (1, ?, ?, 0)", rows)
        db.execute("INSERT INTO going_span VALUES (1, ?, ?, 'going', 'stopped', 1)", [now_s - 36_060, now_s - 7_860])
        db.execute("INSERT INTO going_span VALUES (1, ?, ?, 'stopped', 'open', 0)", [now_s - 7_260, now_s - 60])
        db.execute("INSERT INTO sensor_stop VALUES (1, ?, ?, 1)", [now_s - 7_860, now_s - 7_260])


def test_without_a_sensor_the_page_says_how_to_begin(browser: FlaskClient) -> None:
    page = browser.get("/sensors").text
    assert "No sensor is set up yet." in page
    assert "Name your broker in going.toml" in page


def test_a_sensor_never_heard_is_told_to_be_silent(browser: FlaskClient, tray: str) -> None:
    page = browser.get("/sensors").text
    assert "The one sensor, tray-3, is silent." in page
    assert f"/sensors/{tray}" in page


def test_what_a_sensor_says_and_told_stands_on_its_page(store: Store, browser: FlaskClient, tray: str) -> None:
    hears(store, tray)
    assert "The one sensor is heard." in browser.get("/sensors").text
    page = browser.get(f"/sensors/{tray}").text
    assert "Night ferry on tray-3: stopped since today 05:24." in page
    assert "61 readings since" in page
    assert "one stop seen, the last between today 05:14 and today 05:24." in page


def test_before_it_is_taken_for_anything_its_page_says_what_that_needs(
    store: Store, browser: FlaskClient, tray: str
) -> None:
    hears(store, tray)
    needs = "once three readings in a row have said so, for 2 min or more."
    assert needs not in browser.get(f"/sensors/{tray}").text
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        db.execute("DELETE FROM going_span")
    assert needs in browser.get(f"/sensors/{tray}").text


def test_another_watch_is_laid_there_and_taken_off(store: Store, browser: FlaskClient, tray: str) -> None:
    other = register(store, "Bar buoy", 2.0)
    browser.post(f"/sensors/{tray}/lay", data={"uid": UID, "watch_uid": other, "when": "now", "do": "lay"})
    open_stays = [stay for stay in sensors.assignments(store.reading()) if stay.to_s is None]
    assert [stay.watch_uid for stay in open_stays] == [other]
    browser.post(f"/sensors/{tray}/lay", data={"uid": UID.replace("0", "1", 1), "when": "now", "do": "take off"})
    assert [stay for stay in sensors.assignments(store.reading()) if stay.to_s is None] == []


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"do": "lay"}, "No watch is chosen. Choose one."),
        ({"do": "lay", "when": "about", "clock": "25:99"}, "“25:99” is not a time on the clock. Give it as 07:30."),
        (
            {"do": "take off", "when": "about", "clock": "20:00"},
            "It was laid there after that time. Give a later one.",
        ),
    ],
)
def test_what_cannot_be_noted_of_who_lies_there_stays_on_the_page(
    store: Store, browser: FlaskClient, tray: str, typed: dict[str, str], sentence: str
) -> None:
    other = register(store, "Bar buoy", 2.0)
    asked = {"uid": UID, "when": "now", **typed} | ({"watch_uid": other} if "when" in typed else {})
    answer = browser.post(f"/sensors/{tray}/lay", data=asked)
    assert answer.status_code == 422
    assert f'-problem">{sentence}</strong>' in answer.text
    assert 'aria-invalid="true"' in answer.text
    assert f'value="{typed.get("clock", "")}"' in answer.text
    assert (f'value="{other}" selected' in answer.text) == ("when" in typed)
    assert [stay.to_s for stay in sensors.assignments(store.reading())] == [None]


def test_a_watch_that_lies_there_already_is_told_on_the_page(store: Store, browser: FlaskClient, tray: str) -> None:
    (stay,) = sensors.assignments(store.reading())
    answer = browser.post(f"/sensors/{tray}/lay", data={"uid": UID, "watch_uid": stay.watch_uid, "when": "now"})
    assert answer.status_code == 409
    assert 'role="alert">It lies there already.</p>' in answer.text


def test_a_watch_leads_to_the_sensor_it_lies_on(store: Store, browser: FlaskClient, tray: str) -> None:
    (stay,) = sensors.assignments(store.reading())
    assert f'href="/sensors/{tray}">tray-3</a>' in browser.get(f"/watch/{stay.watch_uid}").text
    browser.post(f"/sensors/{tray}/lay", data={"uid": UID, "when": "now", "do": "take off"})
    assert f'href="/sensors/{tray}">tray-3</a>' not in browser.get(f"/watch/{stay.watch_uid}").text


def test_a_sensor_is_put_away_and_brought_back(store: Store, browser: FlaskClient, tray: str) -> None:
    browser.post(f"/sensors/{tray}/archive", data={"uid": UID, "version": "1"})
    assert sensors.sensors(store.reading()) == []
    assert "Put away:" in browser.get("/sensors").text
    browser.post(f"/sensors/{tray}/archive", data={"uid": UID.replace("0", "1", 1), "version": "2"})
    assert len(sensors.sensors(store.reading())) == 1


def test_a_level_learns_its_thresholds_and_takes_them_over(store: Store, browser: FlaskClient) -> None:
    ear = AddSensor(name="ear", topic="ear", expected_s=20, reports="level", upper=9, lower=8)
    give(store, ear)
    start_s = (NOW - 2 * HOUR).timestamp()
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        db.execute("INSERT INTO sensed (sensor_uid) VALUES (?)", [ear.uid])
        loud = [(start_s + 20 * number, 0.5 + 0.01 * (number % 3)) for number in range(30)]
        quiet = [(start_s + 1200 + 20 * number, 0.02 + 0.01 * (number % 3)) for number in range(30)]
        db.conn.executemany("INSERT INTO reading VALUES (1, ?, ?, 0)", loud + quiet)
    asked = {"going": "2026-11-25T05:25", "quiet": "2026-11-25T05:45"}
    page = browser.get(f"/sensors/{ear.uid}", query_string=asked).text
    assert "of the way between the two is empty." in page
    browser.post(f"/sensors/{ear.uid}/thresholds", data={"uid": UID, "upper": "0.3", "lower": "0.2"})
    (found,) = sensors.sensors(store.reading())
    assert (found.reports.upper, found.reports.lower) == (0.3, 0.2)  # type: ignore[union-attr]  # a level


def test_a_winder_channel_shows_its_turns_day_by_day(store: Store, browser: FlaskClient) -> None:
    seat = AddSensor(name="seat", topic="seat", expected_s=60, kind="winder", reports="counter")
    give(store, seat)
    assert "Nothing was heard in this time." in browser.get(f"/sensors/{seat.uid}").text
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        db.execute("INSERT INTO sensed (sensor_uid) VALUES (?)", [seat.uid])
        hour = int(NOW.timestamp() // 3600)
        rows = [(1, hour - ago, 30.0, 0.0, 0.0, 3600.0, 0.0) for ago in (1, 2, 24, 25)]
        db.conn.executemany("INSERT INTO turn_count VALUES (?, ?, ?, ?, ?, ?, ?, 1)", rows)
    page = browser.get(f"/sensors/{seat.uid}").text
    shown = re.findall(r'<tr><th scope="row">.*</tr>', page)
    assert [re.sub(r"<[^>]*>", " ", row).split() for row in shown] == [
        ["today", "60", "clockwise", "known", "for", "2", "h"],
        ["yesterday", "60", "clockwise", "known", "for", "2", "h"],
    ]
    assert '<th scope="col">clockwise</th>' in page
    assert "anticlockwise" not in page


def test_a_level_that_is_sent_seldom_is_learned_from_longer(store: Store, browser: FlaskClient) -> None:
    ear = AddSensor(name="ear", topic="ear", expected_s=300, reports="level", upper=9, lower=8)
    give(store, ear)
    start_s = (NOW - 4 * HOUR).timestamp()
    with closing(open_sensed(store.path.parent)) as file, file.change() as db:
        db.execute("INSERT INTO sensed (sensor_uid) VALUES (?)", [ear.uid])
        loud = [(start_s + 300 * number, 0.5 + 0.01 * (number % 3)) for number in range(11)]
        quiet = [(start_s + 7200 + 300 * number, 0.02 + 0.01 * (number % 3)) for number in range(11)]
        db.conn.executemany("INSERT INTO reading VALUES (1, ?, ?, 0)", loud + quiet)
    asked = {"going": "2026-11-25T03:25", "quiet": "2026-11-25T05:25"}
    page = browser.get(f"/sensors/{ear.uid}", query_string=asked).text
    assert "Lay a going watch there for 55 min" in page
    assert "of the way between the two is empty." in page


def test_an_unknown_sensor_is_a_page_of_its_own_kind(browser: FlaskClient) -> None:
    assert browser.get(f"/sensors/{UID}").status_code == 404


@pytest.fixture
def hearing() -> Hearing:
    """What has heard three topics."""
    hearing = Hearing(BrokerSettings(), "house", lambda: NOW)
    for topic, payload in (
        ("house/tray", b"on"),
        ("house/box", b'{"tray": {"tick": true}, "t": 1795591498000}'),
        ("house/pack", b'[{"bn": "urn:dev:ow:1:", "n": "tick", "vb": false, "bt": 1795591490}]'),
    ):
        around = Around(topic, NOW.timestamp() - 605, count=11)
        around.newest.append((NOW.timestamp() - 5, payload))
        hearing._topics[topic] = around
    return hearing


@pytest.fixture
def listening(store: Store, hearing: Hearing) -> FlaskClient:
    """A browser of a site that has heard three topics."""
    give(store, ChangeSettings(zone="Europe/London"))
    app = create_app(store, now=lambda: NOW, broker=Known(BrokerSettings(), hearing=hearing))
    app.config["WTF_CSRF_ENABLED"] = False
    assert app.extensions[BROKER_KEY].hearing is hearing
    return app.test_client()


def test_the_topics_heard_are_listed_with_their_newest_message(listening: FlaskClient) -> None:
    page = listening.get("/sensors/topics").text
    assert "Three topics heard." in page
    assert "/sensors/new?topic=house/tray" in page
    assert "every 1 min" in page


@pytest.mark.parametrize(
    ("topic", "expected", "reads"),
    [
        ("house/tray", ('value="plain" selected', 'value="60"'), "going, timed by its arrival"),
        ("house/box", ('value="json" selected', 'value="/tray/tick"', 'value="/t"'), "going, today 07:24:58"),
        ("house/pack", ('value="senml" selected', 'value="urn:dev:ow:1:tick"'), "stopped, today 07:24:50"),
    ],
)
def test_a_topic_chosen_opens_the_form_as_its_message_is_written(
    listening: FlaskClient, topic: str, expected: tuple[str, ...], reads: str
) -> None:
    page = listening.get("/sensors/new", query_string={"topic": topic}).text
    assert all(part in page for part in expected)
    assert reads in page


def test_the_preview_tells_what_a_changed_set_up_reads(listening: FlaskClient) -> None:
    form = {"topic": "house/box", "written": "json", "reports": "boolean", "value_at": "/tray/tock"}
    assert "There is nothing at" in listening.post("/sensors/preview", data=form).text
    assert "is no JSON pointer" in listening.post("/sensors/preview", data=form | {"value_at": "tick"}).text
    assert (
        "going, timed by its arrival" in listening.post("/sensors/preview", data=form | {"value_at": "/tray/tick"}).text
    )


def test_the_preview_tells_for_what_a_level_is_taken_once_its_thresholds_are_typed(
    listening: FlaskClient, hearing: Hearing
) -> None:
    hearing._topics["house/tray"].newest.append((NOW.timestamp(), b"0.42"))
    form = {"topic": "house/tray", "written": "plain", "reports": "level"}
    assert ">0.42, timed by its arrival" in listening.post("/sensors/preview", data=form).text
    assert (
        "0.42: going, timed by its arrival"
        in listening.post("/sensors/preview", data=form | {"upper": "0,4", "lower": "0.2"}).text
    )


def test_another_place_of_the_message_is_chosen_by_a_link(listening: FlaskClient, hearing: Hearing) -> None:
    hearing._topics["house/box"].newest.append((NOW.timestamp(), b'{"id": 7, "tray": {"tick": true, "loud": 0.42}}'))
    page = listening.get("/sensors/new?topic=house/box").text
    links = re.findall(r'href="([^"]*way=[^"]*)"><code>([^<]*)</code></a> <span class="sub">([^<]*)<', page)
    assert [(place, finds) for _, place, finds in links] == [
        ("/id", "7, timed by its arrival"),
        ("/tray/loud", "0.42, timed by its arrival"),
    ]
    chosen = listening.get(unescape(links[1][0])).text
    assert 'value="/tray/loud"' in chosen
    assert 'value="level" selected' in chosen


def test_trying_without_script_keeps_nothing_and_all_that_was_typed(listening: FlaskClient, store: Store) -> None:
    form = {
        "uid": UID,
        "name": "box",
        "topic": "house/box",
        "written": "json",
        "reports": "boolean",
        "value_at": "/tray/tick",
    }
    page = listening.post("/sensors/new?topic=house/box", data=form | {"do": "try"}).text
    assert "going, timed by its arrival" in page
    assert 'value="/tray/tick"' in page
    assert sensors.sensors(store.reading()) == []


def test_a_set_up_is_tried_on_every_topic_it_fits(listening: FlaskClient) -> None:
    form = {"topic": "house/+", "written": "plain", "reports": "boolean"}
    page = listening.post("/sensors/preview", data=form).text
    assert page.count("<tr><th") == 1 + 3
    assert (
        "No message of this topic was heard yet." in listening.post("/sensors/preview", data=form | {"topic": "x"}).text
    )


def test_a_changed_set_up_is_tried_on_the_last_message_of_its_sensor(
    store: Store, browser: FlaskClient, tray: str
) -> None:
    hears(store, tray)
    assert "No message of this topic was heard yet." not in browser.get(f"/sensors/{tray}/edit").text
    form = {"topic": "house/tray/3", "written": "plain", "reports": "boolean", "going_words": "x"}
    assert "going, timed by its arrival" in browser.post(f"/sensors/preview?sensor={tray}", data=form).text


def test_how_a_sensor_gets_in_at_our_own_broker_is_told(store: Store) -> None:
    password = users_of(store.path.parent)[SENSORS]
    settings = BrokerSettings(port=1884)
    own, other = (
        create_app(store, now=lambda: NOW, broker=Known(settings, own=own)).test_client().get("/sensors").text
        for own in (True, False)
    )
    assert f"mosquitto_pub -h 127.0.0.1 -p 1884 -u sensors -P {password} -t house/tray/3 -m on" in own
    assert "README tells how" not in own
    assert password not in other


def test_what_was_set_up_is_kept_with_its_watch(listening: FlaskClient, store: Store) -> None:
    watch = register(store, "Night ferry", 3.0)
    form = {
        "uid": UID, "name": "box", "topic": "house/box", "written": "json", "reports": "boolean", "value_at": "/tray/tick",
        "time_at": "/t", "expected_s": "60", "watch_uid": watch, "tolerance": "", "confirm_s": "", "direction": "not known",
    }  # fmt: skip
    assert listening.post("/sensors/new", data=form).status_code == 303
    (found,) = sensors.sensors(store.reading())
    assert (found.name, found.form.value_at, found.form.time_at) == ("box", ("tray", "tick"), ("t",))
    assert [stay.watch_uid for stay in sensors.assignments(store.reading())] == [watch]
    changed = form | {"uid": UID.replace("0", "1", 1), "name": "box 2", "version": "1"}
    listening.post(f"/sensors/{found.uid}/edit", data=changed)
    assert sensors.sensors(store.reading())[0].name == "box 2"


def test_a_set_up_that_cannot_be_comes_back_with_its_sentence(listening: FlaskClient) -> None:
    answer = listening.post("/sensors/new", data={"uid": UID, "name": "x", "topic": "a/#/b", "expected_s": "60"})
    assert answer.status_code == 422
    assert "is no topic filter." in answer.text
    assert 'value="a/#/b"' in answer.text


@pytest.mark.parametrize(
    ("going", "sentence"),
    [
        ("", "No time is given. Say when that began."),
        ("yesterdy", "yesterdy"),
        ("2026-11-26T05:25", "This time lies in the future."),
    ],
)
def test_a_wrong_time_to_learn_from_is_told_by_its_field(
    store: Store, browser: FlaskClient, going: str, sentence: str
) -> None:
    ear = AddSensor(name="ear", topic="ear", expected_s=20, reports="level", upper=9, lower=8)
    give(store, ear)
    asked = {"going": going, "quiet": "2026-11-25T05:45"}
    answer = browser.get(f"/sensors/{ear.uid}", query_string=asked)
    assert answer.status_code == 200
    problem = answer.text.partition('id="going-problem">')[2].partition("</strong>")[0]
    assert sentence in problem
    assert f'value="{going}"' in answer.text
    assert 'value="2026-11-25T05:45"' in answer.text
    assert "quiet-problem" not in answer.text
