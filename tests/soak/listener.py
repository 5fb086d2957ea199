"""A day of twenty sensors through a real broker, killed and restarted at random: `python -m tests.soak.listener [SEED]`."""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from sensors.brokersettings import Protocol
from tests.brokers import DURABLE, mosquitto
from tests.sensors.replay import days, replay

SENSORS, HOURS = 20, 23.0
"""An hour short of a day: a stamp is believed for a day, and sending takes its time."""
KILLS, RESTARTS = 20, 2


def main() -> None:
    """Replay it by MQTT 5 and by 3.1.1, and print what came of each."""
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    with TemporaryDirectory() as folder:
        protocols: tuple[Protocol, ...] = ("5", "3.1.1")
        for protocol in protocols:
            own = Path(folder) / protocol
            (own / "broker").mkdir(parents=True)
            with mosquitto(own / "broker", *DURABLE) as broker:
                every = days(own, SENSORS, HOURS, seed)
                found = replay(own, broker, every, seed, kills=KILLS, restarts=RESTARTS, protocol=protocol)
            sys.stdout.write(f"MQTT {protocol}: {found}\n")


if __name__ == "__main__":
    main()
