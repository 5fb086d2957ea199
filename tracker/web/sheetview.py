"""The sheet for a customer: which parts its maker picks, and what stands in them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker import phrases, readingphrases, servicewords
from tracker.core.rundown import RunDown
from tracker.core.timing import Occasion, Reading
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.formerly import Before
from tracker.web import readingsview, reservewords, runwords
from tracker.web.forms import Form
from tracker.web.readingsview import Sitting
from tracker.words import say

PARTS: dict[str, str] = {
    "work": "what was done, and parts",
    "readings": "its readings before and after",
    "reserve": "its reserve before and after",
    "picture": "the picture of its run-downs",
    "runs": "its newest run-downs",
    "next": "when its next service is due",
    "odds": "the odds of a decline, and what its runs show",
    "cost": "the cost",
    "cautions": "cautions",
}
"""What can stand on the sheet, in this order."""

USUAL = frozenset({"work", "readings", "reserve", "picture", "runs", "cautions"})
"""What stands there unless its maker picks otherwise: no odds of faults, no cost."""

MOST_RUNS = 6
BESIDE_A_SERVICE: tuple[Occasion, ...] = ("before service", "after service")


def chosen(parameters: Form) -> frozenset[str]:
    """The parts that the address asks for; the usual ones where nothing was chosen yet."""
    return frozenset(PARTS) & set(parameters.getlist("show")) if "chosen" in parameters else USUAL


@dataclass(frozen=True, slots=True)
class Run:
    """One line of the table of run-downs."""

    when: str
    told: str
    former: bool


def heading(watch: Watch, workshop: str) -> list[tuple[str, str]]:
    """Whose watch it is and by which job, as label and value; what is not known stays out."""
    said = [
        (say("Job number"), watch.job_number),
        (say("Belongs to"), watch.belongs_to),
        (say("Calibre"), watch.calibre),
        (say("Came in"), phrases.date_of(watch.came_in) if watch.came_in else ""),
        (say("Promised for"), phrases.date_of(watch.promised_for) if watch.promised_for and not watch.gone_out else ""),
        (say("Went out"), phrases.date_of(watch.went_out) if watch.went_out else ""),
        (say("Workshop"), workshop),
    ]
    return [(label, value) for label, value in said if value]


def sittings(readings: Sequence[Reading]) -> list[Sitting]:
    """The newest readings before and after a service; where there are none of those, the newest of any."""
    found = list(readingsview.view(readings).sittings)
    beside = {phrases.capital(readingphrases.occasion(word)) for word in BESIDE_A_SERVICE}
    return [each for each in found if each.occasion in beside] or found


def reserves(each: Figures | None, watch: Watch, before: Before | None) -> list[tuple[str, str]]:
    """Its reserve as stated, before the last service and since, each with its band and what it rests on."""
    told = [(say("Stated by its maker"), reservewords.stated(watch))]
    if before is not None:
        counts = before.estimate.evidence
        told.append(
            (say("Before this service"), _with_evidence(reservewords.band_said(before.estimate.reserve_h), counts))
        )
    if each is not None:
        label = say("Since this service") if each.segment.serviced else say("Now")
        told.append((label, _now(each)))
    return [(label, value) for label, value in told if value]


def _now(each: Figures) -> str:
    if not any(each.estimate.evidence.values()):
        return say("not tested yet: no run has been seen since")
    return _with_evidence(reservewords.reserve_now(each), each.estimate.evidence)


def _with_evidence(said: str, counts: Mapping[str, int]) -> str:
    stops = sum(counts.get(kind, 0) for kind in ("exact", "between", "one_of"))
    known = servicewords.counted(stops, counts.get("at_least", 0), counts.get("at_most", 0))
    return say("{said}, from {known}", said=said, known=known)


def newest_runs(each: Figures, now: datetime, zone: ZoneInfo) -> list[Run]:
    """The newest runs that came to their stop; where none did, the newest that tell how long it went at least."""
    service = each.history.services[-1] if each.history.services else None
    newest = [run for run in each.history.runs if run.evidence.spans_h][::-1]
    telling = [run for run in newest if run.evidence.ended and run.evidence.kind != "at_most"] or newest
    return [_run(each, run, former=run.service_at != service, now=now, zone=zone) for run in telling[:MOST_RUNS]]


def _run(each: Figures, run: RunDown, *, former: bool, now: datetime, zone: ZoneInfo) -> Run:
    return Run(
        phrases.capital(runwords.begun(run, now, zone)),
        runwords.told(run, reservewords.reserve_then(each, run).mid),
        former,
    )


def title(watch: Watch) -> str:
    """What the sheet is of, for the name of the page and of a PDF made of it."""
    return (
        say("Job {number}: {nickname}", number=watch.job_number, nickname=watch.nickname)
        if watch.job_number
        else watch.nickname
    )


def newest(rows: Sequence[Mapping[str, Any]]) -> Mapping[str, Any] | None:
    """The service that the sheet tells of."""
    return rows[0] if rows else None
