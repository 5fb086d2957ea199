"""Which broker to listen to: `[mqtt]` of going.toml in the data folder, each key outdone by its variable of the environment."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any, get_args

from sensors.brokersettings import BrokerSettings, Protocol
from tracker.errors import BadInput
from tracker.goingtoml import section
from tracker.words import say

SECTION = "mqtt"
TEXTS = ("host", "user", "password", "client_id", "prefix")
FILES = ("ca_file", "cert_file", "key_file")
KEYS = (*TEXTS, "port", "tls", *FILES, "protocol")
LAST_PORT = 65_535
YES = {"1": True, "yes": True, "true": True, "0": False, "no": False, "false": False}


def broker_settings(folder: Path, environment: Mapping[str, str] = os.environ) -> BrokerSettings | None:
    """The broker that is named, None if none is; paths are taken from the data folder.

    `GOING_MQTT_HOST` and so on outdo the file, so that a password need not stand in it.

    Raises:
        BadInput: a key is not known, or has a value that can't be taken.
        Unavailable: the file can't be read, or is no TOML.
    """
    given = section(folder, SECTION, KEYS) | {
        key: environment[_variable(key)] for key in KEYS if environment.get(_variable(key))
    }
    if "host" not in given:
        return None
    return BrokerSettings(**{key: _value(key, value, folder) for key, value in given.items()})


def _variable(key: str) -> str:
    return f"GOING_MQTT_{key.upper()}"


def _value(key: str, value: object, folder: Path) -> Any:
    """The value of a key, from a file or as text from the environment; it is never shown, for it may be a password."""
    if key in TEXTS and isinstance(value, str) and value:
        return value
    if key in FILES and isinstance(value, str) and value:
        return folder / Path(value).expanduser()
    if key == "protocol" and value in get_args(Protocol):
        return value
    if key == "tls" and (isinstance(value, bool) or str(value).casefold() in YES):
        return value if isinstance(value, bool) else YES[str(value).casefold()]
    if key == "port" and not isinstance(value, bool) and str(value).isdigit() and 0 < int(str(value)) <= LAST_PORT:
        return int(str(value))
    raise BadInput(
        say("The {key} of the broker can't be taken.", key=key),
        field=key,
        accepted={
            "port": say("Give a number from 1 to {last}.", last=LAST_PORT),
            "tls": say("Give true or false."),
            "protocol": say("Give one of {choices}.", choices=", ".join(get_args(Protocol))),
        }.get(key, say("Give text that is not empty.")),
    )
