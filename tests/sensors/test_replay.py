"""A tenth of the replay that `python -m tests.soak.listener` does as a whole: two of twenty sensors, a day of each."""

from pathlib import Path

import pytest

from sensors.brokersettings import Protocol
from tests.sensors.replay import Result
from tests.soak.listener import by_mosquitto, by_own_broker


def judged(found: Result) -> None:
    assert found.broken == []
    assert found.stops >= 30


@pytest.mark.broker
@pytest.mark.parametrize("protocol", ["5", "3.1.1"])
def test_killed_again_and_again_every_reading_is_kept_once_and_every_stop_is_bracketed(
    tmp_path: Path, protocol: Protocol
) -> None:
    judged(by_mosquitto(tmp_path, protocol, sensors=2, seed=7, kills=2, restarts=1))


def test_by_the_broker_of_our_own_every_reading_is_kept_once(tmp_path: Path) -> None:
    judged(by_own_broker(tmp_path, sensors=2, seed=7))
