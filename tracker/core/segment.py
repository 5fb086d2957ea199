"""The runs that speak for a watch as it is today: those since its last service, with their ages."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from tracker.core.likelihood import Run
from tracker.core.rundown import History

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


def present_segment(history: History, at_rest: datetime) -> Segment:
    """Choose the runs since the last service and the age that the answer is for.

    The age is that of the winding that starts the present run; without one it is taken at `at_rest` (the owner's last
    midnight), so that it holds for a day.
    """
    serviced = bool(history.services)
    service = history.services[-1] if serviced else None
    ended = [run for run in history.runs if run.service_at == service]
    current = history.current
    starts = [run.started_at for run in ended] + ([current.started_at] if current else [])
    since = service or min(starts, default=None)
    asked_at = current.started_at if current else max([at_rest, *starts])
    return Segment(
        since=since,
        serviced=serviced,
        runs=tuple(Run(_years(since, run.started_at), run.evidence) for run in ended),
        asked_at=asked_at,
        now_years=_years(since, asked_at),
    )


def _years(since: datetime | None, moment: datetime) -> float:
    return 0.0 if since is None else max(0.0, (moment - since) / YEAR)
