from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from paho.mqtt.client import Client
from paho.mqtt.enums import CallbackAPIVersion

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import LISTENER, SENSORS, users_of
from sensors.hearing import LASTS_S, Hearing, _filter
from tests.patience import until
from tests.sensors.test_broker import Caller, broker, free_port, port

__all__ = ["broker", "port"]


@pytest.mark.usefixtures("broker")
def test_topics_are_heard_with_their_newest_messages(tmp_path: Path, port: int) -> None:
    settings = BrokerSettings(port=port, user=LISTENER, password=users_of(tmp_path)[LISTENER])
    hearing = Hearing(settings, "house", lambda: datetime.now(UTC))
    hearing.start()
    sensor = Caller(port, SENSORS, users_of(tmp_path)[SENSORS])

    def heard() -> bool:
        sensor.client.publish("house/tray", b"on", qos=1).wait_for_publish(10)
        sensor.client.publish("garden/tap", b"on", qos=1).wait_for_publish(10)
        return bool(hearing.topics())

    until(heard)
    (found,) = hearing.topics()
    assert found.topic == "house/tray"
    assert found.newest[-1][1] == b"on"
    assert 0 < hearing.left_s <= LASTS_S
    hearing.stop()
    assert hearing.left_s == 0
    sensor.leave()


def test_what_can_begin_no_topic_is_told() -> None:
    hearing = Hearing(BrokerSettings(), "a#b", lambda: datetime.now(UTC))
    let_in = type("LetIn", (), {"is_failure": False})()
    hearing._on_connect(Client(CallbackAPIVersion.VERSION2), None, None, let_in, None)
    assert hearing.why == "“a#b” can't begin a topic"


def test_it_ends_by_itself() -> None:
    moments = [datetime(2026, 11, 25, tzinfo=UTC)]
    hearing = Hearing(BrokerSettings(port=free_port()), "", lambda: moments[-1])
    hearing._client = type("Left", (), {"disconnect": lambda _: None, "loop_stop": lambda _: None})()
    assert hearing.left_s == LASTS_S
    moments.append(moments[0] + timedelta(seconds=LASTS_S))
    assert hearing.left_s == 0
    assert hearing._client is None


@pytest.mark.usefixtures("broker")
def test_a_broker_that_does_not_let_us_in_is_told_and_left(port: int) -> None:
    hearing = Hearing(BrokerSettings(port=port, user=LISTENER, password="wrong"), "", lambda: datetime.now(UTC))  # noqa: S106 -- it is wrong
    hearing.start()
    until(lambda: bool(hearing.why))
    assert hearing.why == "the broker does not accept the user or the password"
    assert hearing.left_s == 0


def test_no_broker_there_is_told() -> None:
    hearing = Hearing(BrokerSettings(port=free_port()), "", lambda: datetime.now(UTC))
    hearing.start()
    assert hearing.why
    assert hearing.left_s == 0


@pytest.mark.parametrize(
    ("typed", "asked"), [("", "#"), (" / ", "#"), ("house", "house/#"), ("a/b/", "a/b/#"), ("a/#", "a/#")]
)
def test_everything_under_a_prefix_is_asked_for(typed: str, asked: str) -> None:
    assert _filter(typed) == asked
