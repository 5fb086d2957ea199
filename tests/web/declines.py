"""Watches that have declined, for the pages that tell of it."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from tests.web.rounds import NOW, give, of_watch
from tracker.commands.base import Command
from tracker.commands.log import LogService, LogSighting, LogWind
from tracker.commands.register import RegisterWatch
from tracker.core.cue import Cue, Grounds, Step
from tracker.core.decline import Evidence, Falls, Finding, Forecast
from tracker.core.pattern import Pattern
from tracker.core.spread import Band
from tracker.core.watch import Watch
from tracker.store.cues import OpenCue
from tracker.store.store import Store
from tracker.web.serviceview import Subject, Word, word_of

DAY, HOUR = timedelta(days=1), timedelta(hours=1)
SERVICED = NOW - 900 * DAY


def declined(store: Store, nickname: str, lengths: Iterable[tuple[int, float]], **register: object) -> str:
    """Register a watch serviced 900 days ago and note runs: the day after that service, and how long it ran; its uid."""
    watch = RegisterWatch.model_validate({"nickname": nickname, "stated_reserve_h": 42} | register)
    give(store, watch, LogService(watch_uid=watch.uid, at=SERVICED, zone="UTC"), *_runs(watch.uid, lengths))
    return watch.uid


def _runs(uid: str, lengths: Iterable[tuple[int, float]]) -> list[Command]:
    entries: list[Command] = []
    for day, hours in lengths:
        at = SERVICED + day * DAY
        entries += [
            LogWind(watch_uid=uid, at=at, zone="UTC"),
            LogSighting(watch_uid=uid, at=at + hours * HOUR - HOUR / 4, zone="UTC", seen="going"),
            LogSighting(watch_uid=uid, at=at + hours * HOUR, zone="UTC", seen="stopped"),
        ]
    return entries


STEADY = [(day, 41.0 + day % 3 / 5) for day in range(5, 890, 25)]
FALLING = [(day, 41.0 * (1 - 0.055 * day / 365) + day % 3 / 5) for day in range(5, 890, 25)]
DROPPED = [(day, 41.0 + day % 3 / 5 if day < 500 else 29.5) for day in range(5, 890, 25)]

FOUND = Finding(
    evidence="enough", stops=3, going=41, grounds=Grounds(keep=0.1, advised=0.0), falls=Falls(0.1, 0.0, 0.0),
    lost=Band(-0.02, 0.01, 0.05), sudden_probability=0.01, sudden_at=None, reached=None, least=None, patterns=(),
    since=SERVICED, serviced=True, years=2.46, due_at=None, due=False,
)  # fmt: skip


def subject(
    nickname: str,
    *,
    step: Step | None = None,
    quiet_days: int | None = None,
    lost: float = 0.01,
    evidence: Evidence = "enough",
    keep: float = 0.05,
    due_in_days: int | None = None,
    patterns: tuple[Pattern, ...] = (),
    reached_in_days: int | None = None,
    stops: int = 3,
    years: float = 2.46,
) -> Subject:
    """A watch with a finding of this kind."""
    due_at = None if due_in_days is None else NOW + due_in_days * DAY
    reached = None
    if reached_in_days is not None:
        middle = NOW + reached_in_days * DAY
        reached = Forecast(1.0, middle - 30 * DAY, middle, middle + 30 * DAY)
    finding = replace(
        FOUND, evidence=evidence, lost=Band(lost - 0.05, lost, lost + 0.05), grounds=Grounds(keep=keep, advised=0.0),
        due_at=due_at, due=due_in_days is not None and due_in_days <= 0, patterns=patterns, reached=reached, stops=stops, years=years,
    )  # fmt: skip
    quiet = None if quiet_days is None else NOW + quiet_days * DAY
    cue = None
    if step is not None:
        cue = OpenCue(
            uid=f"cue of {nickname}", watch_uid=nickname, cue=Cue(step=step, service_at=SERVICED, quiet_until=quiet), version=1,
            raised_at=NOW - 3 * DAY, ordinal=1, said_at=NOW - 3 * DAY, facts={},
        )  # fmt: skip
    return Subject(of_watch(Watch(uid=nickname, nickname=nickname)), finding, cue, word_of(finding, cue, NOW))


def words(found: Iterable[Subject]) -> dict[str, Word]:
    """What is said of each."""
    return {each.nickname: each.word for each in found}
