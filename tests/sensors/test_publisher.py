from pathlib import Path

import pytest

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import LISTENER, SENSORS, users_of
from sensors.publisher import Publisher
from tests.sensors.test_broker import PATIENCE_S, Caller, broker, free_port, port

__all__ = ["broker", "port"]


@pytest.mark.usefixtures("broker")
def test_what_is_sent_is_retained_for_whoever_comes_later(tmp_path: Path, port: int) -> None:
    publisher = Publisher(BrokerSettings(port=port, user=LISTENER, password=users_of(tmp_path)[LISTENER]))
    assert publisher.send({"p/c/w/state": b"{}"})
    late = Caller(port, SENSORS, users_of(tmp_path)[SENSORS])
    late.client.subscribe("p/#", qos=1)
    assert late.got.wait(PATIENCE_S)
    assert late.heard == [("p/c/w/state", b"{}")]
    late.leave()
    publisher.close()


def test_a_broker_that_is_away_took_nothing() -> None:
    publisher = Publisher(BrokerSettings(port=free_port()))
    assert not publisher.send({"p": b""})
    publisher.close()
