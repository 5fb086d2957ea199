import json
import re
import threading
from pathlib import Path

import pytest

from tests.brokers import mosquitto, subscribed
from tests.cli.conftest import Going
from tracker.cli import simulating


@pytest.mark.broker
def test_what_is_past_goes_out_at_once_stamped_and_the_truth_lies_beside_it(
    going: Going, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(simulating, "_leaving", threading.Event)
    truth = tmp_path / "truth.json"
    with mosquitto(tmp_path / "broker") as broker, subscribed(broker.port, "bench/#") as came:
        monkeypatch.setenv("GOING_MQTT_HOST", "127.0.0.1")
        monkeypatch.setenv("GOING_MQTT_PORT", str(broker.port))
        words = ["--watches", "3", "--seats", "1", "--past", "2", "--hours", "0", "--topic", "bench", "--seed", "s"]
        code, said, _ = going("simulate", *words, "--truth", str(truth))
    assert code == 0
    told = re.search(r"Messages sent: (\d+)\.", said)
    assert told
    # The third writes plain text without a time: of the past it tells nothing.
    assert int(told[1]) == pytest.approx(3 * 119, abs=3)
    assert len(came) <= int(told[1])
    topics = {fields["topic"] for fields in json.loads(truth.read_text())["sensors"]}
    assert topics == {"bench/rest/1", "bench/rest/2", "bench/rest/3", "bench/seat/1"}
    assert {topic for topic, _ in came} == topics - {"bench/rest/3"}


def test_without_a_broker_it_says_so(going: Going) -> None:
    code, _, complained = going("simulate")
    assert code == 2
    assert "No broker is named." in complained


def test_a_broker_that_does_not_answer_is_said_with_its_address(going: Going, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GOING_MQTT_HOST", "127.0.0.1")
    monkeypatch.setenv("GOING_MQTT_PORT", "1")
    monkeypatch.setattr(simulating, "_leaving", threading.Event)
    code, _, complained = going("simulate")
    assert code != 0
    assert "No broker lets us in at 127.0.0.1:1." in complained


def test_a_share_above_one_is_not_taken(going: Going) -> None:
    code, _, complained = going("simulate", "--lost", "2")
    assert code == 2
    assert "“2” can't be taken; give a number from 0 to 1" in complained
