"""What a message reads as, in words: for whoever tries a set-up on the page or on the command line."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from sensors.kinds import Beats, Boolean, Kind, Level
from sensors.payload import Reading
from sensors.unread import Unread
from sensors.winder import Power, Reports, Turning
from tracker import phrases
from tracker.words import say, written

SHOWN = 60


def shown(payload: bytes, most: int = SHOWN) -> str:
    """The beginning of a message, as a person may read it."""
    text = payload.decode("utf-8", "replace")
    printable = "".join(sign if sign.isprintable() else "·" for sign in text)
    return printable if len(printable) <= most else printable[: most - 1] + "…"


def reading_said(told: Reading | Unread, reports: Kind | Reports | None, now: datetime, zone: ZoneInfo) -> str:
    """A reading: its value, what a sensor that `reports` so takes it for (None: not said yet), and whose time it carries."""
    if isinstance(told, Unread):
        return told.sentence
    value = _value(told.value, reports)
    if not told.stamped:
        return say("{value}, timed by its arrival", value=value)
    moment = datetime.fromtimestamp(told.at_s, UTC)
    return say("{value}, {when}", value=value, when=f"{phrases.when(moment, now, zone)}:{moment:%S}")


def _value(value: float, reports: Kind | Reports | None) -> str:
    if isinstance(reports, Boolean):
        return say("going") if value else say("stopped")
    if isinstance(reports, Turning):
        return say("turning") if value else say("not turning")
    if isinstance(reports, Power):
        return f"{written(value, 'g')} W: {say('turning') if reports.meant(value) else say('not turning')}"
    if isinstance(reports, Level | Beats):
        return f"{written(value, 'g')}: {_state(value, reports)}"
    return written(value, "g")


def _state(value: float, reports: Level | Beats) -> str:
    sign = reports.sign(value)
    if sign.says:
        return say(sign.says)
    return say("between the two") if sign.fits else say("neither going nor stopped")
