"""The broker that the pages may listen to, as the program that serves them named it."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from flask import current_app

from tracker.web.request import CLOCK_KEY, store

if TYPE_CHECKING:
    from sensors.brokersettings import BrokerSettings
    from sensors.hearing import Hearing

BROKER_KEY = "going-broker"


@dataclass(slots=True)
class Known:
    """The broker, whether it is our own, and who listens around for topics at the moment."""

    settings: "BrokerSettings | None" = None
    own: bool = False
    hearing: "Hearing | None" = field(default=None, repr=False)


def _known() -> Known:
    known: Known = current_app.extensions[BROKER_KEY]
    return known


def settings() -> "BrokerSettings | None":
    """How to get in; None where no broker is named."""
    return _known().settings


def is_own() -> bool:
    """Whether the broker is that of this program, which keeps no promise over a restart."""
    return _known().own


def own_way() -> dict[str, object] | None:
    """How a sensor gets into the broker of this program; None where another is listened to."""
    from sensors.brokerusers import SENSORS, users_of  # noqa: PLC0415 -- most never ask

    known = _known()
    if not known.own or known.settings is None:
        return None
    at = {"host": known.settings.host, "port": known.settings.port}
    return {**at, "user": SENSORS, "password": users_of(store().path.parent)[SENSORS]}


def hearing() -> "Hearing | None":
    """Who listens around, or did last."""
    return _known().hearing


def listen_around(prefix: str) -> None:
    """Listen for topics under a prefix from now on, at most five minutes; one at a time."""
    from sensors.hearing import Hearing  # noqa: PLC0415 -- most never ask

    known = _known()
    if known.settings is None:
        return
    if known.hearing is not None:
        known.hearing.stop()
    known.hearing = Hearing(known.settings, prefix, current_app.extensions[CLOCK_KEY])
    known.hearing.start()


def stop_listening() -> None:
    """Listen around no longer; what was heard stays until the next time."""
    heard = _known().hearing
    if heard is not None:
        heard.stop()
