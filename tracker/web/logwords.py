"""The log in words: one sentence for each entry as it was noted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tracker import faultwords, phrases, readingphrases
from tracker.store.moments import from_text
from tracker.words import say, written

SHOWN_AT_FIRST = 30
SURE_WITHIN_MIN = 5.0
"""A time this sure is written alone."""

KIND_OF_TABLE = {
    "winding": "wind",
    "sighting": "sighting",
    "wear": "wear",
    "on_winder": "winder",
    "service": "service",
    "timing_reading": "reading",
    "bench_sign": "sign",
}
"""What an address calls the entries of each table."""

AMOUNT = {"full": "wound fully", "part": "wound in part", "unsure": "wound, not sure how far"}
FOUND = {"going": "it was going", "stopped": "it had stopped", "not noticed": ""}
HANDS = {"set now": "hands set", "left": "hands left as they were", "not set": "hands not set", "unknown": ""}
SEEN = {
    "going": "seen going",
    "stopped": "found stopped",
    "stopped on purpose": "stopped on purpose",
    "not noticed": "",
}
WINDER = {"on": "put on the winder", "off": "taken off the winder"}


@dataclass(frozen=True, slots=True)
class Shortened:
    """The entries to show, newest first, and how many there are in all."""

    rows: list[dict[str, Any]]
    count: int


def shortened(rows: Sequence[dict[str, Any]], *, everything: bool) -> Shortened:
    """The newest entries, or all of them."""
    return Shortened(list(rows[: None if everything else SHOWN_AT_FIRST]), len(rows))


def when(row: Mapping[str, Any], now: datetime, zone: ZoneInfo) -> str:
    """When it was noted to have happened, with its width where that is worth saying."""
    moment = phrases.when(from_text(row["at_utc"]), now, zone)
    if row["within_min"] <= SURE_WITHIN_MIN:
        return moment
    return say("{when}, give or take {length}", when=moment, length=phrases.length(row["within_min"] / 60))


def told(row: Mapping[str, Any]) -> str:
    """What was noted, as a sentence."""
    parts = _PARTS[row["table"]](row)
    sentence = "; ".join(part for part in [*parts, row["note"]] if part)
    return phrases.capital(sentence) or say("Noted.")


def _wind(row: Mapping[str, Any]) -> list[str]:
    turns = say("{n} turns", n=written(row["crown_turns"], "g")) if row["crown_turns"] else ""
    hands = say("hands and date set") if row["date_set"] else say(HANDS[row["hands"]])
    return [say(AMOUNT[row["amount"]]), turns, say(FOUND[row["found"]]), _shown(row), hands, _side_spring(row)]


def _sighting(row: Mapping[str, Any]) -> list[str]:
    reading = row["indicator_reading"]
    indicator = "" if reading is None else say("the indicator showed {reading}", reading=written(reading, "g"))
    return [say(SEEN[row["seen"]]), _shown(row), indicator, _side_spring(row)]


def _side_spring(row: Mapping[str, Any]) -> str:
    return say("the chronograph ran or the alarm rang") if row["side_spring_used"] else ""


def _shown(row: Mapping[str, Any]) -> str:
    if row["shown"] is None:
        return ""
    if row["shown_date"] is None:
        return say("hands at {shown}", shown=row["shown"])
    return say("hands at {shown}, date {date}", shown=row["shown"], date=row["shown_date"])


def _wear(row: Mapping[str, Any]) -> list[str]:
    return [say("put on") if row["act"] == "put on" else say("laid down")]


def _winder(row: Mapping[str, Any]) -> list[str]:
    turns = say("{n} turns a day", n=written(row["turns_a_day"], "g")) if row["turns_a_day"] else ""
    return [say(WINDER[row["act"]]), turns]


def _service(row: Mapping[str, Any]) -> list[str]:
    by = say("by {name}", name=row["done_by"]) if row["done_by"] else ""
    return [say("back from service"), row["occasion"], by, row["work_done"], row["cost"]]


def _reading(row: Mapping[str, Any]) -> list[str]:
    told = [readingphrases.position(row["position"]), readingphrases.since_wind(row["since_wind_min"])]
    return [say("timing reading, {where}", where=", ".join(part for part in told if part)), *readingphrases.read(row)]


def _sign(row: Mapping[str, Any]) -> list[str]:
    return [say("sign: {what}", what=faultwords.noted(row["sign"], row["word"], row["figure"], row["expected"]))]


_PARTS = {
    "winding": _wind,
    "sighting": _sighting,
    "wear": _wear,
    "on_winder": _winder,
    "service": _service,
    "timing_reading": _reading,
    "bench_sign": _sign,
}
