"""Several people tapping on pages of a server that is killed at random moments; what they were told is noted stays so."""

import os
import random
import re
import signal
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from http.client import HTTPException
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode, urljoin
from urllib.request import HTTPCookieProcessor, build_opener

from tests.patience import until
from tests.serving import Server, serving

ROOT = Path(__file__).parents[2]
PEOPLE = 4


@dataclass
class Taps:
    """Keys of taps that were sent, and of those that were answered."""

    sent: set[str] = field(default_factory=set)
    answered: set[str] = field(default_factory=set)


class Person:
    """Someone with a browser at the page of one watch."""

    def __init__(self, address: str, uid: str) -> None:
        self.page_of = urljoin(address, f"watch/{uid}")
        self.address, self.uid = address, uid
        self.opener = build_opener(HTTPCookieProcessor(CookieJar()))

    def fields(self) -> dict[str, str]:
        """What a fresh page has ready for a tap."""
        with self.opener.open(self.page_of, timeout=20) as answer:
            return dict(re.findall(r'name="(csrf_token|key)" value="([^"]+)"', answer.read().decode()))

    def tap(self, fields: dict[str, str]) -> None:
        """Note that the watch was seen going; returns when the server has said so."""
        told = {**fields, "next": f"/watch/{self.uid}", "when": "now", "do": f"seen-going {self.uid}"}
        with self.opener.open(urljoin(self.address, "log/tap"), urlencode(told).encode(), timeout=20) as answer:
            answer.read()


def served(folder: Path) -> AbstractContextManager[Server]:
    env = {**os.environ, "GOING_DATA": str(folder), "PYTHONPATH": str(ROOT)}
    return serving([sys.executable, "-m", "tracker", "serve", "--port", "0"], folder=folder, env=env)


@contextmanager
def tapping(address: str, uid: str, taps: Taps) -> Iterator[None]:
    """People tap for as long as the server answers."""
    threads = [threading.Thread(target=_tap_on, args=(address, uid, taps)) for _ in range(PEOPLE)]
    for thread in threads:
        thread.start()
    yield
    for thread in threads:
        thread.join()


def _tap_on(address: str, uid: str, taps: Taps) -> None:
    person = Person(address, uid)
    try:
        while True:
            fields = person.fields()
            taps.sent.add(fields["key"])
            person.tap(fields)
            taps.answered.add(fields["key"])
    except (OSError, HTTPException):
        return


def killed_under_load(folder: Path, uid: str, chance: random.Random, taps: Taps) -> None:
    """Serve, let people tap, and kill the server amid it."""
    enough = len(taps.answered) + chance.randint(2, 12)
    with served(folder) as server, tapping(server.address, uid, taps):
        until(lambda: len(taps.answered) >= enough)
        time.sleep(chance.uniform(0.0, 0.2))
        os.kill(server.process.pid, signal.SIGKILL)


def sent_again(folder: Path, uid: str, taps: Taps) -> None:
    """Every tap once more, answered or not, as a phone would that was not told."""
    with served(folder) as server:
        person = Person(server.address, uid)
        for key in sorted(taps.sent):
            person.tap({**person.fields(), "key": key})
