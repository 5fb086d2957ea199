"""Listening on the command line to what sensors send, at a real broker."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.brokers import Broker, free_port, mosquitto, publish
from tests.cli.conftest import NOW, Going

STAMP_MS = int(NOW.timestamp() * 1000) - 5000
BOX = b'{"seat": {"tick": false}, "t": %d}' % STAMP_MS
LISTEN = ("sensor", "test", "--topic", "house", "--seconds", "1")


@pytest.fixture
def broker(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Broker]:
    """A broker that the collection names, on which three messages lie retained."""
    with mosquitto(tmp_path / "broker") as started:
        monkeypatch.setenv("GOING_MQTT_HOST", "127.0.0.1")
        monkeypatch.setenv("GOING_MQTT_PORT", str(started.port))
        publish(started.port, [("house/tray", b"ON"), ("house/box", BOX), ("garden", b"1")], retain=True)
        yield started


@pytest.mark.broker
@pytest.mark.usefixtures("broker")
def test_topics_under_a_prefix_are_told_with_the_ways_to_read_them(going: Going) -> None:
    code, said, _ = going(*LISTEN)
    lines = said.splitlines()
    assert code == 0
    box = lines.index(f"house/box  {BOX.decode()} (retained: the last known, no reading)")
    assert lines[box + 1] == "  --written json --value-at /seat/tick --time-at /t  →  stopped, today 08:24:55"
    assert "  --written plain  →  going, timed by its arrival" in lines
    assert lines[-2:] == ["house/box: one message.", "house/tray: one message."]
    assert "garden" not in said


@pytest.mark.broker
@pytest.mark.usefixtures("broker")
def test_a_sensors_messages_are_read_by_its_set_up(going: Going) -> None:
    told = ("--written", "json", "--value-at", "/seat/tick", "--time-at", "/t")
    going("sensor", "add", "box", "--topic", "house/+", "--expected", "60", *told)
    code, said, complaint = going("sensor", "test", "box", "--seconds", "1")
    assert code == 0
    assert "stopped, today 08:24:55" in said
    assert "house/tray  ON (retained: the last known, no reading)  →  The message is not JSON." in said
    assert complaint == "Listening to house/+ for 1 s …\n"
    assert "garden" not in said


@pytest.mark.broker
@pytest.mark.usefixtures("broker")
def test_where_nothing_comes_it_says_so(going: Going) -> None:
    code, said, complaint = going("sensor", "test", "--topic", "cellar", "--seconds", "0.5")
    assert (code, said) == (4, "")
    assert "Nothing came under cellar in 0.5 s." in complaint


@pytest.mark.broker
@pytest.mark.usefixtures("broker")
def test_what_can_be_no_topic_is_told(going: Going) -> None:
    code, _, complaint = going("sensor", "test", "--topic", "a#b", "--seconds", "20")
    assert code == 5
    assert "Nothing can be heard: “a#b” can't begin a topic." in complaint


def test_a_broker_that_does_not_answer_or_is_not_named_is_told(going: Going, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "No broker is named." in going(*LISTEN)[2]
    monkeypatch.setenv("GOING_MQTT_HOST", "127.0.0.1")
    monkeypatch.setenv("GOING_MQTT_PORT", str(free_port()))
    code, _, complaint = going(*LISTEN)
    assert code == 5
    assert "Nothing can be heard: no broker answers at 127.0.0.1:" in complaint


def test_messages_from_a_file_and_from_the_broker_are_not_mixed(going: Going) -> None:
    for words in (LISTEN, ("sensor", "test", "--seconds", "1")):
        code, _, complaint = going(*words, "--message", "x")
        assert code == 2
        assert "contradict each other. Give one of them." in complaint
