from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path
from threading import Event as Told
from zoneinfo import ZoneInfo

import pytest

from sensors.brokersettings import BrokerSettings
from sensors.brokerusers import SENSORS
from tracker.errors import Unavailable
from tracker.example import sending

FILLED = datetime(2026, 11, 25, 7, 25, 40, tzinfo=UTC)


def test_the_sensors_go_on_in_a_thread_until_they_are_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun, seen = Told(), []

    def publish(settings: BrokerSettings, events: object, stopping: Told) -> int:
        seen.append((settings.user, settings.port, bool(settings.password), next(iter(events))))  # type: ignore[call-overload]  # an iterator
        begun.set()
        stopping.wait(10)
        return 0

    monkeypatch.setattr("sensors.simulated.publish.publish", publish)
    monkeypatch.setattr("tracker.clock.now", lambda: FILLED + timedelta(hours=1))
    with ExitStack() as running:
        sending.begin(tmp_path, FILLED, ZoneInfo("Europe/London"), BrokerSettings(port=1999), running)
        assert begun.wait(10)
    user, port, secret, first = seen[0]
    assert (user, port, secret) == (SENSORS, 1999, True)
    assert first.due_s > (FILLED + timedelta(hours=1)).timestamp()


def test_a_broker_that_is_away_is_tried_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    twice, tries = Told(), []

    def publish(*_: object) -> int:
        tries.append(1)
        if len(tries) == 2:
            twice.set()
        raise Unavailable("No broker.")

    monkeypatch.setattr("sensors.simulated.publish.publish", publish)
    monkeypatch.setattr(sending, "AGAIN_S", 0.0)
    with ExitStack() as running:
        sending.begin(tmp_path, FILLED, ZoneInfo("Europe/London"), BrokerSettings(), running)
        assert twice.wait(10)
