"""The runs that speak for a watch as it is today: those since its last service, with their ages."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from tracker.core.evidence import NONE
from tracker.core.likelihood import Run
from tracker.core.rundown import History, RunDown

YEAR = timedelta(days=365.25)


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """What an estimate starts from.

    `since` is the last service, or the first run noted where no service is known; `serviced` tells which. `runs` carry
    their age since then; `asked_at` is the moment whose age the answer is for, `now_years` that age.
    """

    since: datetime | None
    serviced: bool
    runs: tuple[Run, ...]
    asked_at: datetime
    now_years: float


def present_segment(history: History, at_rest: datetime, held_uid: str | None = None) -> Segment:
    """Choose the runs since the last service and the age that the answer is for.

    The age is that of the winding that starts the present run; without one it is taken at `at_rest` (the owner's last
    midnight), so that it holds for a day. The run `held_uid` is held back (tracker.core.heldback) and tells nothing.
    """
    runs = list(runs_since_service(history))
    current = history.current
    asked_at = current.started_at if current else max([at_rest, *(ended.started_at for ended, _ in runs)])
    return Segment(
        since=_since(history),
        serviced=bool(history.services),
        runs=tuple(Run(run.age_years, NONE) if ended.wind_uid == held_uid else run for ended, run in runs),
        asked_at=asked_at,
        now_years=years_in_service(history, asked_at),
    )


def runs_since_service(history: History) -> Iterator[tuple[RunDown, Run]]:
    """The ended runs since the last service in order, each with its age and evidence."""
    since = _since(history)
    for ended in ended_since_service(history):
        yield ended, Run(_years(since, ended.started_at), ended.evidence)


def ended_since_service(history: History) -> list[RunDown]:
    """The same without ages."""
    service = history.services[-1] if history.services else None
    return [run for run in history.runs if run.service_at == service]


def years_in_service(history: History, moment: datetime) -> float:
    """Years from the last service, or from the first run noted, to a moment."""
    return _years(_since(history), moment)


def _since(history: History) -> datetime | None:
    if history.services:
        return history.services[-1]
    # Without a service every run ended after none, and the first of them began first.
    starts = [run.started_at for run in (*history.runs[:1], history.current) if run is not None]
    return min(starts, default=None)


def _years(since: datetime | None, moment: datetime) -> float:
    return 0.0 if since is None else max(0.0, (moment - since) / YEAR)
