"""The file form of `going reserve`: run-downs in, what is known of the reserve out."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from tracker.core.evidence import NONE, Evidence, at_least, at_most, between, exact
from tracker.core.reserve import Band, Estimate, Prior, Run, estimate, prior_for
from tracker.core.watch import CLASS_RESERVE_H
from tracker.core.windby import hours_at_risk
from tracker.fileform.reading import a_flag, a_list, a_moment, a_number, an_object, read_json, refuse
from tracker.words import say

MOST_HOURS = 1e6
MOST_YEARS = 1000.0
YEAR = timedelta(days=365.25)
RISKS = ("0.01", "0.05", "0.10")
KEYS = ("stated_h", "reserve_class", "now_years", "service", "now", "threshold", "seen_going_h", "runs")
EVIDENCE_KEYS = ("exact_h", "between_h", "at_least_h", "at_most_h", "one_of_h")
RUN_KEYS = ("age_years", "at", *EVIDENCE_KEYS, "within_h", "unknown", "part_wind")


def answer_file(path: str) -> dict[str, Any]:
    """Answer the document in a file."""
    return answer(read_json(path))


def answer(document: object) -> dict[str, Any]:
    """Work out the reserve from a document of the file form.

    Hours count from the full wind; low, mid, high are the 5, 50, 95 % points; `wind_by_h` holds, given `seen_going_h`
    if that is there. Raises BadInput or UnknownKey with the place of what is wrong.
    """
    form = an_object(document, "", KEYS)
    prior = _prior(form)
    threshold = a_number(form.get("threshold", 0.10), "/threshold", low=0.0, high=0.99, above=True)
    seen_going_h = a_number(form.get("seen_going_h", 0.0), "/seen_going_h", low=0.0, high=MOST_HOURS)
    now_years, age_of = _timing(form)
    runs = [
        _run(entry, f"/runs/{place}", age_of)
        for place, entry in enumerate(a_list(form.get("runs", []), "/runs", say("runs")))
    ]
    found = estimate(runs, prior, now_years=now_years, threshold=threshold)
    return _answer(found, seen_going_h)


def _prior(form: dict[str, Any]) -> Prior:
    """What is believed before the first run: the maker's figure, else the class of reserve, else neither."""
    if "reserve_class" not in form:
        return prior_for(_hours(form["stated_h"], "/stated_h") if "stated_h" in form else None)
    if "stated_h" in form:
        refuse("/reserve_class", say("a stated reserve is given already"), say("One of the two."))
    chosen = form["reserve_class"]
    if chosen not in CLASS_RESERVE_H:
        choices = ", ".join(CLASS_RESERVE_H)
        refuse(
            "/reserve_class",
            say("{given} is no class of reserve", given=repr(chosen)),
            say("One of {choices}.", choices=choices),
        )
    return prior_for(None, chosen)


AgeOf = Callable[[dict[str, Any], str], float]
"""From a run and its place to its age in years."""


def _timing(form: dict[str, Any]) -> tuple[float, AgeOf]:
    """Years since the service, and how a run's age is read: from years or, if there are dates, from dates."""
    dated = [key for key in ("service", "now") if key in form]
    if "now_years" in form:
        if dated:
            refuse(f"/{dated[0]}", say("years and dates are mixed"), say("Either now_years or service and now."))
        now_years = a_number(form["now_years"], "/now_years", low=0.0, high=MOST_YEARS)
        return now_years, lambda run, where: _age_in_years(run, where, now_years)
    for key in ("service", "now"):
        if key not in form:
            refuse(
                f"/{key if dated else 'now_years'}", say("this is missing"), say("Either now_years or service and now.")
            )
    service, now = (a_moment(form[key], f"/{key}") for key in ("service", "now"))
    if now < service:
        refuse("/now", say("this is before the service"), say("A moment at or after service."))
    return (now - service) / YEAR, lambda run, where: _age_by_date(run, where, service, now)


def _age_in_years(run: dict[str, Any], where: str, now_years: float) -> float:
    if "at" in run:
        refuse(f"{where}/at", say("years and dates are mixed"), say("With now_years each run has age_years."))
    if "age_years" not in run:
        refuse(f"{where}/age_years", say("this is missing"), say("Years from the service to the run."))
    return a_number(run["age_years"], f"{where}/age_years", low=0.0, high=now_years)


def _age_by_date(run: dict[str, Any], where: str, service: datetime, now: datetime) -> float:
    if "age_years" in run:
        refuse(f"{where}/age_years", say("years and dates are mixed"), say("With service and now each run has at."))
    if "at" not in run:
        refuse(f"{where}/at", say("this is missing"), say("The moment of the run's full wind."))
    at = a_moment(run["at"], f"{where}/at")
    if not service <= at <= now:
        refuse(f"{where}/at", say("this is before the service or after now"), say("A moment from service to now."))
    return (at - service) / YEAR


def _run(entry: object, where: str, age_of: AgeOf) -> Run:
    run = an_object(entry, where, RUN_KEYS)
    age_years = age_of(run, where)
    unknown, part_wind = (a_flag(run.get(key, False), f"{where}/{key}") for key in ("unknown", "part_wind"))
    given = [key for key in EVIDENCE_KEYS if key in run]
    if "within_h" in run and "one_of_h" not in run:
        refuse(f"{where}/within_h", say("this goes with one_of_h only"), say("Leave it out."))
    if len(given) > 1:
        refuse(
            f"{where}/{given[1]}", say("this run already has {key}", key=given[0]), say("One kind of evidence a run.")
        )
    if not (given or unknown or part_wind):
        refuse(
            where,
            say("this run tells nothing"),
            say("One of {keys}, or unknown or part_wind.", keys=", ".join(EVIDENCE_KEYS)),
        )
    evidence = _evidence(run, given[0], f"{where}/{given[0]}") if given else NONE
    return Run(age_years, NONE if unknown or part_wind else evidence)


def _evidence(run: dict[str, Any], key: str, where: str) -> Evidence:
    value = run[key]
    if key == "exact_h":
        return exact(_hours(value, where))
    if key == "at_least_h":
        return at_least(a_number(value, where, low=0.0, high=MOST_HOURS))
    if key == "at_most_h":
        return at_most(_hours(value, where))
    if key == "between_h":
        return between(*_pair(value, where))
    return _one_of(run, where)


def _hours(value: object, where: str) -> float:
    return a_number(value, where, low=0.0, high=MOST_HOURS, above=True)


def _pair(value: object, where: str) -> tuple[float, float]:
    ends = a_list(value, where, say("two hours, low and high"))
    if len(ends) != 2:  # noqa: PLR2004 (a pair)
        refuse(where, say("{count} numbers are not a pair", count=len(ends)), say("Two hours, low and high."))
    low = a_number(ends[0], f"{where}/0", low=0.0, high=MOST_HOURS)
    high = _hours(ends[1], f"{where}/1")
    if high < low:
        refuse(where, say("{low:g} to {high:g} runs backwards", low=low, high=high), say("Low first, then high."))
    return low, high


def _one_of(run: dict[str, Any], where: str) -> Evidence:
    """Moments (hours, each ± within_h) or pairs already widened; what overlaps is joined."""
    moments = a_list(run["one_of_h"], where, say("hours"))
    if not moments:
        refuse(where, say("this list is empty"), say("One moment or more, in hours."))
    if "within_h" in run and all(isinstance(moment, list) for moment in moments):
        refuse(f"{where[: -len('one_of_h')]}within_h", say("pairs carry their own width"), say("Leave it out."))
    within = a_number(run.get("within_h", 0.0), f"{where[: -len('one_of_h')]}within_h", low=0.0, high=MOST_HOURS)
    spans = [_moment(moment, f"{where}/{place}", within) for place, moment in enumerate(moments)]
    return Evidence("one_of", _apart(spans))


def _moment(value: object, where: str, within: float) -> tuple[float, float]:
    if isinstance(value, list):
        return _pair(value, where)
    hours = _hours(value, where)
    return max(0.0, hours - within), hours + within


def _apart(spans: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    joined: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return tuple(joined)


def _answer(found: Estimate, seen_going_h: float) -> dict[str, Any]:
    kinds = ("exact", "between", "at_least", "at_most", "one_of")
    wind_by = {risk: hours_at_risk(found.next_run, float(risk), seen_going_h=seen_going_h) for risk in RISKS}
    return {
        "reserve_h": _band(found.reserve_h, 4),
        "baseline_h": _band(found.baseline_h, 4),
        "wind_by_h": {risk: round(hours, 4) for risk, hours in wind_by.items()},
        "decline": {
            "probability": round(found.fall_probability, 6),
            "sudden_probability": round(found.sudden_probability, 6),
            "per_year": _band(found.per_year, 6),
        },
        "evidence": {kind: found.evidence[kind] for kind in kinds},
        "left_out": found.left_out,
    }


def _band(band: Band, digits: int) -> dict[str, float]:
    return {"low": round(band.low, digits), "mid": round(band.mid, digits), "high": round(band.high, digits)}
