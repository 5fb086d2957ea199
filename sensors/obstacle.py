"""What keeps us from a broker, in words that may follow a colon."""

import ssl

from sensors.brokersettings import BrokerSettings
from tracker.words import say


def obstacle(error: Exception, settings: BrokerSettings) -> str:
    """Why there is no connection."""
    where = f"{settings.host}:{settings.port}"
    if isinstance(error, ssl.SSLError):
        return say(
            "the encrypted connection to {where} fails: {why}",
            where=where,
            why=getattr(error, "reason", None) or str(error),
        )
    why = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    if isinstance(error, FileNotFoundError | PermissionError):
        return say("a certificate can't be read: {why}", why=why)
    return say("no broker answers at {where}: {why}", where=where, why=why)


def refusal(why: str) -> str:
    """Why the broker does not let us in, from its reason code's name in MQTT 5."""
    if why in {"Bad user name or password", "Not authorized"}:
        return say("the broker does not accept the user or the password")
    return say("the broker refuses: {why}", why=why)
