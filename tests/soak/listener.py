"""A day of twenty sensors through a real broker, killed and restarted at random: `python -m tests.soak.listener [SEED]`."""

import math
import sys
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from paho.mqtt.enums import MQTTProtocolVersion

from sensors.broker import OwnBroker
from sensors.brokersettings import Protocol
from sensors.brokerusers import SENSORS as USER
from sensors.brokerusers import users_of
from tests.brokers import DURABLE, free_port, mosquitto, publish
from tests.sensors.replay import Child, Result, days, replay, set_dial

SENSORS, KILLS, RESTARTS = 20, 20, 2
NARROW = 0.99
"""So many stops are bracketed within two intervals and what confirms them; fewer only as chance may have it."""
END_S = 1_795_600_000.0
"""When the day ends, in seconds since 1970: November 2026."""


def by_mosquitto(folder: Path, protocol: Protocol, *, sensors: int, seed: int, kills: int, restarts: int) -> Result:
    """Through Debian's broker. Told to end it saves all it has; killed it would lose what came since it last saved."""
    with mosquitto(folder / "broker", *DURABLE) as broker:

        def restart() -> None:
            broker.stop()
            broker.start()

        every = days(folder, sensors, END_S, seed)
        child = Child(folder, broker.settings(protocol), set_dial(folder / "dial", END_S))
        send = partial(publish, broker.port)
        return replay(folder, child, every, seed, send, kills=kills, restarts=restarts, restart=restart)


def by_own_broker(folder: Path, *, sensors: int, seed: int) -> Result:
    """Through the broker of our own, which promises nothing when killed."""
    every, port = days(folder, sensors, END_S, seed), free_port()
    broker = OwnBroker(folder, port)
    broker.start()
    try:
        send = partial(publish, port, user=USER, password=users_of(folder)[USER], protocol=MQTTProtocolVersion.MQTTv311)
        child = Child(folder, broker.settings, set_dial(folder / "dial", END_S))
        return replay(folder, child, every, seed, send)
    finally:
        broker.stop()


def _told(name: str, found: Result) -> bool:
    chance = 2.0 * math.sqrt(NARROW * (1.0 - NARROW) * found.stops)
    wrong = found.broken + ["narrow"] * (found.narrow < NARROW * found.stops - chance)
    sys.stdout.write(f"{name}: {found}\n" + (f"BROKEN: {', '.join(wrong)}\n" if wrong else ""))
    sys.stdout.flush()
    return not wrong


def main() -> None:
    """Replay it by MQTT 5, by 3.1.1 and through the broker of our own; fails where a promise is broken."""
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    protocols: tuple[Protocol, ...] = ("5", "3.1.1")
    good = []
    for protocol in protocols:
        with TemporaryDirectory() as folder:
            found = by_mosquitto(Path(folder), protocol, sensors=SENSORS, seed=seed, kills=KILLS, restarts=RESTARTS)
        good.append(_told(f"mosquitto, MQTT {protocol}", found))
    with TemporaryDirectory() as folder:
        good.append(_told("our own broker", by_own_broker(Path(folder), sensors=SENSORS, seed=seed)))
    sys.exit(not all(good))


if __name__ == "__main__":
    main()
