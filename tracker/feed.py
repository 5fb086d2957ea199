"""What stands in the calendar feed, and the secret in its address."""

import hashlib
import os
import secrets
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime, timedelta
from hmac import compare_digest
from pathlib import Path
from zoneinfo import ZoneInfo

from tracker import cues
from tracker.commands.settings import Settings
from tracker.core.roundtimes import Away
from tracker.figures import Figures
from tracker.planning import goes_by_rounds, planned
from tracker.reminders.calendar import Event
from tracker.uids import uid_of
from tracker.words import say

KEY_FILE = "calendar-key"
KEY_BYTES = 16
SEQUENCE_FROM = datetime(2026, 1, 1, tzinfo=UTC)


def events(figures: Sequence[Figures], settings: Settings, now: datetime, away: Sequence[Away] = ()) -> list[Event]:
    """The rounds of the coming fortnight, the wind-bys known now, and when a service is due by the owner's rule.

    Watches are called by their nicknames alone; a customer's is left out.
    """
    own = [each for each in figures if not each.watch.customers]
    return [*_rounds(own, settings, now, away), *_wind_bys(own, settings, now), *_services(own, settings, now)]


def _rounds(figures: Sequence[Figures], settings: Settings, now: datetime, away: Sequence[Away]) -> Iterable[Event]:
    names = {each.watch.uid: each.watch.nickname for each in figures}
    for each in planned(figures, settings, now, away=away).plan.rounds:
        told = ", ".join(names[uid] for uid in each.wind)
        yield Event(uid_of("round", each.at.isoformat()), each.at, say("Wind {watches}", watches=told), timedelta(0))


def _wind_bys(figures: Sequence[Figures], settings: Settings, now: datetime) -> Iterable[Event]:
    notice = timedelta(hours=settings.notice_h)
    for each in figures:
        by, run = each.standing.wind_by, each.history.current
        if by is not None and by > now and run is not None and each.offer is None and goes_by_rounds(each):
            said = say("{nickname}: wind by now", nickname=each.watch.nickname)
            yield Event(uid_of("wind by", each.watch.uid, run.wind_uid), by.replace(microsecond=0), said, notice)


def _services(figures: Sequence[Figures], settings: Settings, now: datetime) -> Iterable[Event]:
    zone = ZoneInfo(settings.zone)
    for each in figures:
        due = cues.finding(each, settings, now).due_at
        if due is not None:
            day = due.astimezone(zone).date()
            said = say("{nickname}: service due by your rule", nickname=each.watch.nickname)
            yield Event(uid_of("service due", each.watch.uid), day, said)


def key_of(folder: Path) -> str | None:
    """The secret of the feed's address; None while there is no feed."""
    try:
        return (folder / KEY_FILE).read_text().strip() or None
    except FileNotFoundError:
        return None


def renew_key(folder: Path) -> str:
    """Give the feed a new address, 128 bits of chance; the former is void from this moment on."""
    key = secrets.token_hex(KEY_BYTES)
    part = folder / f"{KEY_FILE}.part"
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(key)
    part.replace(folder / KEY_FILE)
    return key


def forget_key(folder: Path) -> None:
    """Switch the feed off."""
    (folder / KEY_FILE).unlink(missing_ok=True)


def opens(folder: Path, given: str) -> bool:
    """Whether this is the secret of the address, told in a time that tells nothing of it."""
    key = key_of(folder)
    return key is not None and compare_digest(key.encode(), given.encode())


def digest(stands: Iterable[Event]) -> str:
    """The same for the same events."""
    return hashlib.sha256(repr(list(stands)).encode()).hexdigest()


def sequence_at(changed_at: datetime) -> int:
    """A number that rises with every later change: seconds since it began to be counted."""
    return max(0, int((changed_at - SEQUENCE_FROM).total_seconds()))
