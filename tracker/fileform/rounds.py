"""The file form of `going round`: round times and wind-bys in, the plan out."""

from datetime import datetime, timedelta
from typing import Any

from tracker.core.rounds.plan import Plan, plan
from tracker.core.rounds.problem import Kept
from tracker.fileform.reading import a_list, a_moment, a_number, an_object, read_json, refuse
from tracker.words import say

KEYS = ("now", "end", "slack_min", "rounds", "watches")
WATCH_KEYS = ("name", "wind_by", "lasts_h")
MOST_HOURS = 1e6
MOST_MINUTES = 1e6
LONGEST = timedelta(days=366)
HOUR = timedelta(hours=1)


def answer_file(path: str) -> dict[str, Any]:
    """Answer the document in a file."""
    return answer(read_json(path))


def answer(document: object) -> dict[str, Any]:
    """Plan the rounds of a document of the file form.

    Moments without a zone are UTC, hours are hours; `least_margin_h` is null where no winding has a deadline to keep.
    Raises BadInput or UnknownKey with the place of what is wrong.
    """
    form = an_object(document, "", KEYS)
    for key in KEYS:
        if key not in form and key != "slack_min":
            refuse(f"/{key}", say("this is missing"), say("The keys are {keys}.", keys=", ".join(KEYS)))
    now, end = a_moment(form["now"], "/now"), a_moment(form["end"], "/end")
    if not now <= end <= now + LONGEST:
        refuse("/end", say("this is before now or more than a year after"), say("A moment within a year after now."))
    slack_min = a_number(form.get("slack_min", 0), "/slack_min", low=0.0, high=MOST_MINUTES)
    rounds = [
        a_moment(moment, f"/rounds/{place}")
        for place, moment in enumerate(a_list(form["rounds"], "/rounds", say("moments")))
    ]
    return document_of(plan(_watches(form["watches"]), rounds, now, end, timedelta(minutes=slack_min)))


def _watches(given: object) -> list[Kept]:
    watches = [
        _watch(entry, f"/watches/{place}") for place, entry in enumerate(a_list(given, "/watches", say("watches")))
    ]
    names = [watch.name for watch in watches]
    for place, name in enumerate(names):
        if name in names[:place]:
            refuse(f"/watches/{place}/name", say("“{name}” is there twice", name=name), say("A name for each watch."))
    return watches


def _watch(entry: object, where: str) -> Kept:
    watch = an_object(entry, where, WATCH_KEYS)
    for key in WATCH_KEYS:
        if key not in watch:
            refuse(f"{where}/{key}", say("this is missing"), say("The keys are {keys}.", keys=", ".join(WATCH_KEYS)))
    if not isinstance(watch["name"], str):
        refuse(f"{where}/name", say("this is not text"), say("The watch's name in quotes."))
    lasts_h = a_number(watch["lasts_h"], f"{where}/lasts_h", low=0.0, high=MOST_HOURS, above=True)
    return Kept(watch["name"], a_moment(watch["wind_by"], f"{where}/wind_by"), lasts_h)


def document_of(found: Plan) -> dict[str, Any]:
    """A plan as the answer of the file form."""
    return {
        "rounds": len(found.rounds),
        "windings": found.windings,
        "least_margin_h": None if found.least_margin is None else round(found.least_margin / HOUR, 6),
        "plan": [{"at": instant(each.at), "wind": list(each.wind)} for each in found.rounds],
        "late": [{"watch": each.name, "from": instant(each.missed), "to": instant(each.until)} for each in found.late],
        "cannot": list(found.cannot),
        "windings_within": found.windings_within,
    }


def instant(moment: datetime) -> str:
    """A moment as the form writes it."""
    return moment.isoformat().replace("+00:00", "Z")
