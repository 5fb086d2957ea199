"""Three sensors of unlike make, set up on a phone by someone who does not know their topics, against a real broker."""

import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
from playwright.sync_api import Browser, Page, expect
from werkzeug.serving import make_server

from sensors.kinds import Boolean
from sensors.listener import Listener
from tests.brokers import Broker, mosquitto, publish
from tests.browser.conftest import PHONE
from tests.patience import until
from tests.web.rounds import NOW, give, register
from tracker import clock
from tracker.commands.settings import ChangeSettings
from tracker.store import sensors
from tracker.store.sensed.migrations import open_sensed
from tracker.store.sensed.reading import Raw, readings
from tracker.store.store import Store
from tracker.web.app import create_app
from tracker.web.broker import Known

pytestmark = pytest.mark.broker

STAMP_S = int(NOW.timestamp()) - 5
LATER = NOW + timedelta(minutes=1)


class Sends(NamedTuple):
    """What a publisher sends, what the page must make of it, and the reading it must become a minute later."""

    topic: str
    message: bytes
    written: str
    found: dict[str, object]
    reads: str
    reading: Raw


TEXT = Sends(
    "house/tray/3", b"ON", "plain", {}, "going, timed by its arrival", Raw(LATER.timestamp(), 1.0, stamped=False)
)
NESTED = Sends(
    "house/box",
    b'{"id": 7, "seat": {"tick": false}, "t": %d}' % (STAMP_S * 1000),
    "json",
    {"value_at": ("seat", "tick"), "time_at": ("t",)},
    "stopped, today 07:24:55",
    Raw(STAMP_S, 0.0, stamped=True),
)
PACK = Sends(
    "house/pack",
    b'[{"bn": "urn:dev:ow:10:", "bt": %d, "n": "tick", "vb": true}, {"n": "room", "u": "Cel", "v": 20.5}]' % STAMP_S,
    "senml",
    {"record": "urn:dev:ow:10:tick"},
    "going, today 07:24:55",
    Raw(STAMP_S, 1.0, stamped=True),
)


@contextmanager
def _served(store: Store, known: Known) -> Iterator[str]:
    server = make_server("127.0.0.1", 0, create_app(store, now=lambda: NOW, broker=known), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
        if known.hearing is not None:
            known.hearing.stop()


@contextmanager
def _phone(chromium: Browser, address: str, *, script: bool) -> Iterator[Page]:
    context = chromium.new_context(base_url=address, viewport=PHONE, java_script_enabled=script)  # type: ignore[arg-type]  # a size
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()


@pytest.mark.parametrize(
    ("sends", "script"),
    [
        pytest.param(TEXT, True, id="boolean text"),
        pytest.param(NESTED, True, id="nested JSON with epoch milliseconds"),
        pytest.param(PACK, True, id="SenML pack"),
        pytest.param(NESTED, False, id="without script"),
    ],
)
def test_a_sensor_of_unknown_topic_is_set_up_from_what_it_sends(
    chromium: Browser,
    store: Store,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    sends: Sends,
    *,
    script: bool,
) -> None:
    give(store, ChangeSettings(zone="Europe/London"))
    watch = register(store, "Night ferry", 3.0)
    with mosquitto(tmp_path / "broker") as broker:
        # Retained, so that it is there whenever the listening begins.
        publish(broker.port, [(sends.topic, sends.message)], retain=True)
        with _served(store, Known(broker.settings())) as address, _phone(chromium, address, script=script) as phone:
            _choose(phone, sends.topic)
            expect(phone.get_by_role("status").filter(has_text=sends.reads)).to_be_visible()
            if not script:
                phone.get_by_label("Where the value stands").fill("/seat/tock")
                phone.get_by_role("button", name="Show what it reads").click()
                expect(phone.get_by_role("status").filter(has_text="There is nothing at")).to_be_visible()
                phone.get_by_label("Where the value stands").fill("/seat/tick")
            phone.get_by_label("What you call it").fill("Tray")
            phone.get_by_label("The watch that lies on it now").select_option(watch)
            phone.get_by_role("button", name="Save").click()
            expect(phone.get_by_text("Tray is set up.")).to_be_visible()
            expect(phone.get_by_role("heading", level=1)).to_contain_text("Night ferry")
            assert _heard(store, broker, sends, monkeypatch) == [sends.reading]
            phone.reload()
            expect(phone.get_by_text("One reading taken.")).to_be_visible()
    (kept,) = sensors.sensors(store.reading())
    assert (kept.topic, kept.form.written, kept.reports) == (sends.topic, sends.written, Boolean())
    assert {name: getattr(kept.form, name) for name in sends.found} == sends.found
    assert [stay.watch_uid for stay in sensors.assignments(store.reading())] == [watch]


def _heard(store: Store, broker: Broker, sends: Sends, monkeypatch: pytest.MonkeyPatch) -> list[Raw]:
    """What the listener keeps of a message that comes a minute from now."""
    monkeypatch.setattr(clock, "now", lambda: NOW)
    (sensor,) = sensors.sensors(store.reading())

    def kept() -> list[Raw]:
        with closing(open_sensed(store.path.parent)) as file:
            return readings(file.reading(), sensor.uid, 0.0, 2 * NOW.timestamp())

    listener = Listener(store.path.parent, broker.settings())
    listener.start()
    try:
        until(lambda: listener.state.state == "listening")
        monkeypatch.setattr(clock, "now", lambda: LATER)
        publish(broker.port, [(sends.topic, sends.message)])
        until(lambda: bool(kept()))
    finally:
        listener.stop()
    return kept()


def _choose(phone: Page, topic: str) -> None:
    """Listen until the topic is there, as a person would: looking again where the page does not do it by itself."""
    phone.goto("/sensors")
    phone.get_by_role("link", name="Listen around for topics").click()
    phone.get_by_label("Only topics that begin with").fill("house")
    phone.get_by_role("button", name="Listen").click()
    for _ in range(20):
        if phone.get_by_role("link", name=topic).count():
            break
        phone.goto("/sensors/topics")
    phone.get_by_role("link", name=topic).click()


def test_the_preview_follows_what_is_typed(chromium: Browser, store: Store, tmp_path: Path) -> None:
    with mosquitto(tmp_path / "broker") as broker:
        publish(broker.port, [("house/tray", b'{"a": true, "b": false}')], retain=True)
        with _served(store, Known(broker.settings())) as address, _phone(chromium, address, script=True) as phone:
            _choose(phone, "house/tray")
            place = phone.get_by_label("Where the value stands")
            tried = phone.locator("#tried")
            expect(tried).to_contain_text("going, timed by its arrival")
            place.fill("/b")
            expect(tried).to_contain_text("stopped, timed by its arrival")
            place.fill("/c")
            expect(tried).to_contain_text("There is nothing at")
