from pathlib import Path

import pytest

from sensors.brokersettings import BrokerSettings
from sensors.link import Link, Lost, Spoken
from tests.brokers import free_port, mosquitto, publish
from tracker import clock

pytestmark = pytest.mark.broker


def served(link: Link, count: int) -> list[bytes]:
    """Serve until so many messages have come."""
    until_s = clock.monotonic_s() + 20
    while len(link.came) < count and clock.monotonic_s() < until_s:
        link.serve(0.2, 100)
    return [each.message.payload for each in link.came]


@pytest.mark.parametrize("spoken", ["5", "3.1.1"])
def test_what_was_not_acknowledged_is_sent_again(tmp_path: Path, spoken: Spoken) -> None:
    with mosquitto(tmp_path / "b") as broker:
        first = Link(broker.settings(), spoken)
        first.open()
        first.subscribe(["house/#"])
        first.serve(0.5, 100)
        publish(broker.port, [("house/a", b"1"), ("house/a", b"2")])
        assert served(first, 2) == [b"1", b"2"]
        first.acknowledge(first.take()[:1])
        first.serve(0.5, 100)
        first.close(politely=False)
        again = Link(broker.settings(), spoken)
        again.open()
        assert again.session_present
        assert served(again, 1) == [b"2"]
        again.close(politely=True)


def test_what_is_sent_once_the_broker_has_answered_comes(tmp_path: Path) -> None:
    topics = [f"house/{number}" for number in range(300)]
    with mosquitto(tmp_path / "b") as broker:
        link = Link(broker.settings(), "5")
        link.open()
        link.subscribe(topics)
        link.await_answers()
        publish(broker.port, [(topics[-1], b"1")])
        assert served(link, 1) == [b"1"]
        link.close(politely=True)


def test_no_broker_is_said_in_words() -> None:
    with pytest.raises(Lost) as lost:
        Link(BrokerSettings(port=free_port()), "5").open()
    assert lost.value.why.startswith("no broker answers at 127.0.0.1:")


def test_a_certificate_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(Lost) as lost:
        Link(BrokerSettings(port=free_port(), ca_file=tmp_path / "none.pem"), "5").open()
    assert "certificate" in lost.value.why
