"""A listener whose data folder is a small disk that fills up: `python -m tests.sensors.fulldisk FOLDER PORT`; fails if it loses anything."""

import logging
import sys
from contextlib import closing
from html import unescape
from pathlib import Path

from sensors.brokersettings import BrokerSettings
from sensors.listener import Listener
from tests.brokers import publish
from tests.patience import until
from tests.sensors.test_listener import add, kept, messages, minutes
from tracker import clock
from tracker.collection import open_collection
from tracker.listening import ROLE
from tracker.reminders.role import take_role
from tracker.web.app import create_app

FULL = "nothing can be written to sensors.db, the disk is full; what comes waits at the broker"


def page(folder: Path) -> str:
    """What the Sensors page says, as its reader sees it."""
    with closing(open_collection(folder, clock.now())) as store:
        return unescape(create_app(store).test_client().get("/sensors").text)


def fill(path: Path) -> None:
    """Write until there is no room for another byte."""
    with path.open("wb", buffering=0) as file:
        for size in (65_536, 4096, 1):
            try:
                while True:
                    file.write(bytes(size))
            except OSError as error:
                sys.stderr.write(f"{error}\n")


def main(folder: Path, port: int) -> None:
    """Keep some, fill the disk, send more, make room: all is kept."""
    logging.basicConfig(level=logging.INFO)
    tray, readings = add(folder, clock.now()), minutes(1_200)
    role = take_role(folder, ROLE)
    assert role is not None
    listener = Listener(folder, BrokerSettings(port=port))
    listener.start()
    until(lambda: listener.state.state == "listening")
    publish(port, messages(readings[:100]))
    until(lambda: kept(folder, tray) == readings[:100])
    assert "But:" not in page(folder)
    fill(folder / "filler")
    publish(port, messages(readings[100:]))
    until(lambda: f"But: {FULL}." in page(folder))
    (folder / "filler").unlink()
    until(lambda: kept(folder, tray) == readings)
    until(lambda: "But:" not in page(folder))
    listener.stop()
    role.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
