"""From fields as they came to a command, or to one sentence for each field that can't be taken."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from tracker.commands.fields import blank_as_none
from tracker.errors import BadInput, Rejected
from tracker.words import say

Built = TypeVar("Built", bound=BaseModel)

_NEEDED = "This is needed."
_SHOWN = "Give the time on the hands as it stands there, such as 4:37 or 437."
_WHOLE = "Give a whole number."
_NUMBER = "Give a number."
_MOMENT = "Give it as 2026-11-25T07:30Z or 2026-11-25T07:30+01:00."
_BEFORE_IT_CAME_IN = "This lies before it came in."
_DAYS = "Choose from Mon, Tue, Wed, Thu, Fri, Sat and Sun."

OF_KIND: dict[str, tuple[str, str, str]] = {
    # pydantic's kind of error, or ours: (field where it has none of its own, what is wrong, what is accepted)
    "missing": ("", _NEEDED, ""),
    "extra_forbidden": ("", "There is no such field.", ""),
    "string_too_short": ("", _NEEDED, ""),
    "string_too_long": ("", "This is too long.", "Give at most {max_length} characters."),
    "string_type": ("", "This is not text.", "Give text."),
    "string_unicode": ("", "This holds a character that can't be kept.", "Give plain text."),
    "string_pattern_mismatch": (
        "",
        "This holds a line break or another character that can't be shown.",
        "Give one line of text.",
    ),
    "literal_error": ("", "“{input}” is not one of the choices.", "Choose {expected}."),
    "tuple_type": ("", "“{input}” is no list of weekdays.", _DAYS),
    "float_parsing": ("", "“{input}” is not a number.", _NUMBER),
    "float_type": ("", "“{input}” is not a number.", _NUMBER),
    "thousands": ("", "“{figure}” can be read in two ways.", "Give {whole} or {other}."),
    "finite_number": ("", "“{input}” is not a number.", _NUMBER),
    "int_parsing": ("", "“{input}” is not a whole number.", _WHOLE),
    "int_type": ("", "“{input}” is not a whole number.", _WHOLE),
    "int_from_float": ("", "“{input}” is not a whole number.", _WHOLE),
    "int_parsing_size": ("", "“{input}” is too large.", "Give a smaller whole number."),
    "greater_than": ("", "{input} is too small.", "Give more than {gt}."),
    "greater_than_equal": ("", "{input} is too small.", "Give {ge} or more."),
    "less_than_equal": ("", "{input} is too large.", "Give {le} or less."),
    "bool_parsing": ("", "“{input}” is neither yes nor no.", "Give yes or no."),
    "bool_type": ("", "“{input}” is neither yes nor no.", "Give yes or no."),
    "moment": ("", "“{input}” is not a date with a time.", _MOMENT),
    "datetime_from_date_parsing": ("", "“{input}” is not a date with a time.", _MOMENT),
    "timezone_aware": ("", "“{input}” has no time zone.", _MOMENT),
    "long_ago": ("", "“{input}” lies too far back.", "Give a time from the year {year} on."),
    "uid": ("", "“{input}” is not a uid.", "A uid looks like 01936f4e-5c00-7000-8000-000000000000."),
    "language": ("", "There is no language “{input}” here.", "Choose {codes}."),
    "zone": ("", "There is no time zone “{input}”.", "Give a name such as Europe/Lisbon."),
    "shown": ("", "“{input}” is not a time on a dial.", _SHOWN),
    "base_address": (
        "",
        "“{input}” is no address of these pages.",
        "Give one such as https://watches.example or http://192.168.1.20:8321, with nothing after it, or leave it empty.",
    ),
    "whole_path": (
        "",
        "“{input}” is no folder in full.",
        "Give it from the root on, such as /media/stick/watches, or leave it empty.",
    ),
    "clock_time": ("", "“{input}” is not a time on the clock.", "Give it as 22:00, or leave it empty."),
    "clock_times": (
        "",
        "“{input}” is no list of times on the clock.",
        "Give at most twelve, such as 07:30, 19:00, or leave it empty.",
    ),
    "topic": (
        "",
        "“{input}” is no topic filter.",
        "Give one such as house/tray/1; + stands for one level, # for all from there on.",
    ),
    "word_of_sign": ("word", "This sign has no such word.", "Choose {words}."),
    "sign_unsaid": (
        "word",
        "It is not said what was found.",
        "Choose {words}; or give a figure and what it should be.",
    ),
    "nothing_read": (
        "rate_s_per_day",
        "Nothing was read in this position.",
        "Give a rate, an amplitude or a beat error.",
    ),
    "day_without_rate": (
        "rate_s_per_day",
        "A day of the programme of ISO 3159 is a rate.",
        "Give the rate of that day.",
    ),
    "pointer": ("", "“{input}” is no JSON pointer.", "Give one such as /s/tick."),
    "reports_of_kind": (
        "reports",
        "A rest sensor tells whether a watch goes, a winder how it turns.",
        "For a rest sensor choose boolean, level or beats; for a winder counter, increments, turning or power.",
    ),
    "record": ("record", "The name of the record is missing.", "Give it in full, base name included."),
    "thresholds": ("upper", "Two thresholds are needed, the lower below the upper.", _NUMBER),
    "turns_per_min": ("turns_per_min", "How fast it turns is missing.", _NUMBER),
    "above_w": ("above_w", "The power above which it turns is missing.", _NUMBER),
    "habit_weekdays": ("habit_weekdays", "No weekday is chosen.", _DAYS),
    "habit_every_days": ("habit_every_days", "The number of days is missing.", _WHOLE),
    "day": ("", "“{input}” is not a date.", "Give it as 2026-11-25."),
    "dates_without_job": (
        "job_number",
        "Dates in and out go with a customer's watch.",
        "Give the number of its job, or leave the dates out.",
    ),
    "promised_before_in": ("promised_for", _BEFORE_IT_CAME_IN, "Give the day it came in, or a later one."),
    "out_before_in": ("went_out", _BEFORE_IT_CAME_IN, "Give the day it came in, or a later one."),
    "shown_while_going": (
        "shown",
        "What the hands showed counts only for a watch that had stopped.",
        "Leave it out, or choose “stopped”.",
    ),
    "left_while_stopped": (
        "hands",
        "Hands that had stopped can't be right when they are left as they are.",
        "Choose “set now”, “not set” or “unknown”.",
    ),
    "not_set_while_going": (
        "hands",
        "“not set” goes with a watch that had stopped.",
        "Choose “left” for one that was going.",
    ),
    "sha256": ("", "“{input}” is not the hash of a photograph.", "Give its SHA-256 in 64 hexadecimal digits."),
    "turns_when_taken_off": (
        "turns_a_day",
        "Turns a day go with a watch that is put on a winder.",
        "Leave them out, or say that it was put on.",
    ),
    "parts": ("parts", "This is no list of parts.", "Give one part a line, {most} at most."),
    "part_without_name": ("parts", "Part {n} has no name.", "Say what it is, such as mainspring or crown gasket."),
    "part_name": ("parts", "The name of part {n} can't be kept.", "Give one line of at most {most} characters."),
    "not_a_spring": (
        "parts",
        "Part {n}: “{line}” is not a spring.",
        "Give its height × thickness × length in mm, with × and the barrel after it if you like: 1.30 × 0.115 × 350.",
    ),
    "spring_thicker_than_high": (
        "parts",
        "Part {n}: the spring “{line}” is thicker than high.",
        "Give its height × thickness × length in mm, in this order: 1.30 × 0.115 × 350.",
    ),
    "length": (
        "",
        "“{input}” is not a length.",
        "Give millimetres, such as 1.3 or 1,3, or name the unit: 0.45 in, 5 1/2 ligne.",
    ),
    "half_a_train": (
        "barrel_teeth",
        "Teeth of the barrel and leaves of its pinion go together.",
        "Give both, or neither.",
    ),
    "hours_twice": (
        "hours_per_turn",
        "The hours of one turn are told twice, as hours and by teeth.",
        "Leave one of them out.",
    ),
    "gauge_in_part": (
        "gauge_full_nmm",
        "Two readings of the gauge and the turns between them go together.",
        "Give all three, or leave all out.",
    ),
    "test_reason": ("reason", "Why it was broken off is missing.", "Give a few words, such as: needed today."),
    "nothing_seen": ("seen", "Nothing was seen.", "Choose a state, or give a reading of the indicator."),
}
"""Every kind of error our commands can raise, as our own sentences."""

OTHERWISE = ("", "“{input}” can't be taken here.", "")


def build(command: Callable[..., Built] | type[Built], fields: Mapping[str, Any]) -> Built:
    """Make the command.

    Raises:
        Rejected: one `BadInput` for each field that can't be taken.
    """
    try:
        return command(**fields)
    except ValidationError as error:
        raise Rejected([_problem(detail) for detail in error.errors(include_url=False)]) from error


def _problem(detail: ErrorDetails) -> BadInput:
    own_field, what, accepted = OF_KIND.get(detail["type"], OTHERWISE)
    if blank_as_none(detail["input"]) is None:
        what = _NEEDED
    values = {name: _plain(value) for name, value in detail.get("ctx", {}).items()} | {"input": _plain(detail["input"])}
    if detail["type"] == "literal_error":
        values["expected"] = str(detail["ctx"]["expected"]).replace("'", "").replace(" or ", say(" or "))
    field = own_field or str(detail["loc"][0] if detail["loc"] else "")
    return BadInput(say(what, **values), field=field, accepted=say(accepted, **values))


def _plain(value: object, at_most: int = 40) -> str:
    """A value as a sentence can hold it: short, on one line, made of characters every terminal can print."""
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    try:
        text = str(value)
    except ValueError:  # Python writes no number of thousands of digits
        return "…"
    line = "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text[: at_most + 1])
    return line if len(line) <= at_most else f"{line[:at_most]}…"
