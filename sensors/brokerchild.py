"""The broker of our own, as a process: `python -m sensors.brokerchild FOLDER HOST PORT`.

It says *ready* on its output once it listens, or why it can't, and ends with its input, so that none is left behind when
the program that started it is killed. MQTT 3.1.1; what it holds is lost with it.
"""

import asyncio
import logging
import sys
from dataclasses import dataclass
from hmac import compare_digest
from pathlib import Path

from amqtt.broker import Broker
from amqtt.errors import BrokerError
from amqtt.plugins.base import BaseAuthPlugin
from amqtt.session import Session

from sensors.brokerusers import READY, users_of

MOST_CLIENTS = 200


class OnlyOurUsers(BaseAuthPlugin):  # type: ignore[misc]  # the library tells no types
    """Lets in whoever knows one of the passwords; nobody without a name."""

    @dataclass
    class Config:
        """Where the passwords are."""

        folder: str

    async def authenticate(self, *, session: Session) -> bool | None:
        """Whether this client is let in."""
        password = users_of(Path(self.config.folder)).get(session.username or "")
        given = session.password or ""
        return password is not None and compare_digest(password.encode(), given.encode())


def _config(folder: Path, host: str, port: int) -> dict[str, object]:
    return {
        "listeners": {"default": {"type": "tcp", "bind": f"{host}:{port}", "max_connections": MOST_CLIENTS}},
        "plugins": {"sensors.brokerchild.OnlyOurUsers": {"folder": str(folder)}},
    }


async def _serve(folder: Path, host: str, port: int) -> None:
    broker = Broker(_config(folder, host, port))
    await broker.start()
    _say(READY)
    await asyncio.to_thread(sys.stdin.buffer.read)
    await broker.shutdown()


def _say(word: str) -> None:
    sys.stdout.write(f"{word}\n")
    sys.stdout.flush()


def main() -> None:
    """Serve until the input ends."""
    logging.disable(logging.CRITICAL)
    folder, host, port = sys.argv[1:]
    try:
        asyncio.run(_serve(Path(folder), host, int(port)))
    except BrokerError as error:
        _say(str(error.__cause__ or error).rpartition("): ")[2].replace("\n", " "))
        sys.exit(1)


if __name__ == "__main__":
    main()
