"""From where the pages are reached: this machine, the home, or beyond by a proxy; and what that asks of whoever comes."""

import ipaddress
import os
import re
import socket
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from tracker.config import HOST
from tracker.errors import BadInput, Unavailable
from tracker.goingtoml import section
from tracker.words import say

KEYS = ("names", "trusted_proxy")
NAME = re.compile(r"[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*")


@dataclass(frozen=True, slots=True)
class Reach:
    """Where to listen, under which names to answer, and which proxy to believe.

    Whoever can come from elsewhere has to log in: `logs_in` is false on this machine alone. `names` are the names and
    addresses besides those of this machine itself; `trusted_proxy` is the address a proxy's requests come from.
    """

    hosts: tuple[str, ...] = (HOST,)
    logs_in: bool = False
    names: tuple[str, ...] = ()
    trusted_proxy: str = ""


def reach_of(folder: Path, host: str | None, *, home: bool, environment: Mapping[str, str] = os.environ) -> Reach:
    """What was asked for by `--host` and `--home`, with `[web]` of going.toml, each key outdone by its variable.

    Raises:
        BadInput: an address or a key can't be taken.
        Unavailable: there is no network to be reached from; or going.toml can't be read.
    """
    given = section(folder, "web", KEYS)
    names = environment.get("GOING_WEB_NAMES", "").replace(",", " ").split() or given.get("names", [])
    proxy = environment.get("GOING_WEB_TRUSTED_PROXY") or given.get("trusted_proxy", "")
    hosts = _hosts(host, home=home)
    beyond = tuple(each for each in hosts if not is_loopback(each))
    return Reach(hosts, bool(beyond or proxy), (*beyond, *_names(names)), _proxy(proxy))


def is_loopback(host: str) -> bool:
    """Whether this address is reached from this machine alone."""
    if host == "localhost":
        return True
    with suppress(ValueError):
        return ipaddress.ip_address(host).is_loopback
    return False


def home_address() -> str:
    """This machine's address at home: the one it would send from. Nothing is sent.

    Raises:
        Unavailable: it has none.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(
                ("192.0.2.1", 9)
            )  # of the block for documentation (RFC 5737): routed as any other, owned by none
            found = str(probe.getsockname()[0])
        except OSError as error:
            raise Unavailable(say("This machine is in no network. Name its address with --host.")) from error
    if is_loopback(found):
        raise Unavailable(say("This machine is in no network. Name its address with --host."))
    return found


def _hosts(host: str | None, *, home: bool) -> tuple[str, ...]:
    named = host or (home_address() if home else HOST)
    if is_loopback(named):
        return (HOST if named == "localhost" else named,)
    try:
        address = ipaddress.ip_address(named)
    except ValueError:
        address = None
    if address is None or address.is_unspecified:
        raise BadInput(
            say("{host} is no address of this machine.", host=named),
            field="host",
            accepted=say("Give one as numbers, such as 192.168.1.20; its names go into going.toml."),
        )
    return HOST, named


def _names(names: object) -> tuple[str, ...]:
    if isinstance(names, list) and all(isinstance(each, str) and NAME.fullmatch(each) for each in names):
        return tuple(each.lower() for each in names)
    raise BadInput(
        say("The names of these pages can't be taken."),
        field="names",
        accepted=say("Give a list of names without http:// and port, such as [“watches.example”]."),
    )


def _proxy(proxy: object) -> str:
    with suppress(ValueError):
        return str(ipaddress.ip_address(str(proxy))) if proxy else ""
    raise BadInput(
        say("The address of the trusted proxy can't be taken."),
        field="trusted_proxy",
        accepted=say("Give it as numbers, such as 127.0.0.1."),
    )
