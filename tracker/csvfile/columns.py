"""The columns of both files: one table that reading, writing and the README share."""

from dataclasses import dataclass
from typing import Any, Literal, get_args, get_origin

from pydantic import BaseModel

from tracker.commands.base import EntryCommand
from tracker.commands.log import LogReading, LogService, LogSighting, LogWear, LogWind, LogWinder
from tracker.commands.register import RegisterWatch
from tracker.commands.sign import LogSign
from tracker.words import say

Kind = Literal["watches", "log"]
EntryKind = Literal["wind", "sighting", "wear", "winder", "service", "reading", "sign"]

ENTRIES: dict[EntryKind, tuple[type[EntryCommand], str]] = {
    "wind": (LogWind, "winding"),
    "sighting": (LogSighting, "sighting"),
    "wear": (LogWear, "wear"),
    "winder": (LogWinder, "on_winder"),
    "service": (LogService, "service"),
    "reading": (LogReading, "timing_reading"),
    "sign": (LogSign, "bench_sign"),
}
"""Each word of the column `entry`: its command and its table."""

NOT_IN_FILES = {"watch_uid", "worn_by"}
"""Fields of commands without a column: a watch goes by its nickname, and one owner wears them all."""

PRIVATE = ("value", "serial")


@dataclass(frozen=True, slots=True)
class Column:
    """One column: what it means, what a cell may hold, and the closed set of words it takes, if it does."""

    name: str
    meaning: str
    accepted: str = ""
    words: tuple[str, ...] = ()
    needed: bool = False


_HOURS = "hours"
_TEXT = "text"
_COUNT = "a whole number"
_NUMBER = "a number"
_DAY = "a date, such as 2026-11-25"
_UID = "left empty in files made by hand; a row is then known again by what it says"

_WATCHES: dict[str, tuple[str, str]] = {
    "uid": ("the watch's own lasting name", _UID),
    "nickname": ("what you call it; needed", _TEXT),
    "wound_by": ("how it is wound", ""),
    "crown_turns_to_full": ("turns of the crown from empty to full", _NUMBER),
    "stated_reserve_h": ("the reserve its maker states", _HOURS),
    "reserve_class": ("the kind of reserve, where no figure is known", ""),
    "least_reserve_h": ("the going time under which you would have it seen to", _HOURS),
    "indicator": ("what its reserve indicator shows", ""),
    "dial_hours": ("hours for one turn of the hour hand", ""),
    "date_window": ("whether it shows the date", ""),
    "setting_details": ("what to mind when setting it", _TEXT),
    "habit": ("how you mean to keep it", ""),
    "habit_weekdays": ("the days, for the habit *on weekdays*", "such as Mon Thu"),
    "habit_every_days": ("the number of days, for the habit *every n days*", _COUNT),
    "stake": ("what a stop costs", ""),
    "place": ("where it lies", _TEXT),
    "reach": ("whether you can get at it there", ""),
    "belongs_to": ("whose it is, if not yours", _TEXT),
    "job_number": ("the job, for a customer's watch", _TEXT),
    "came_in": ("when a customer's watch came in", _DAY),
    "promised_for": ("for when it is promised", _DAY),
    "went_out": ("when it went out", _DAY),
    "service_every_years": ("years between its services, by a rule for it alone", _NUMBER),
    "service_due_on": ("or the day its next service is due, by your own rule", _DAY),
    "calibre": ("its movement", _TEXT),
    "vibrations_per_hour": ("beats an hour", _COUNT),
    "lift_angle_deg": ("the lift angle of its movement", "degrees"),
    "other_springs": ("springs to be wound beside the going one", _TEXT),
    "screw_down_crown": ("whether the crown screws down", ""),
    "looks_offered": ("whether to offer a look, stopped or not, where it would tell much of its reserve", ""),
    "winder_turns_a_day": ("turns of a winder a day that keep it going, in the directions that wind it", _NUMBER),
    "winder_way": ("the directions of a winder that wind it", ""),
    "winder_pause_h": ("the longest pause of its winder's programme", _HOURS),
    "wear_fills_h": ("wear that winds it from stopped to full", _HOURS),
    "note": ("anything else", _TEXT),
    "value": ("what it is worth; written only with --with-private", _TEXT),
    "serial": ("its number; written only with --with-private", _TEXT),
    "archived": ("whether it is put away", "yes or no"),
}

_LOG: dict[str, tuple[str, str]] = {
    "uid": ("the entry's own lasting name", _UID),
    "watch": ("the nickname of the watch; needed", _TEXT),
    "entry": ("what kind of entry it is; needed", ""),
    "at": (
        "when; needed",
        "ISO 8601, with an offset or else in the zone beside it; a date alone is its noon ± 12 h",
    ),
    "zone": ("the time zone the keeper was in; yours if empty", "a name such as Europe/Lisbon"),
    "within_min": ("how sure the time is, either side; 0 if empty", "minutes"),
    "amount": ("how far it was wound; full if empty", ""),
    "crown_turns": ("turns of the crown it was given", _NUMBER),
    "found": ("the state it was found in; not noticed if empty", ""),
    "hands": ("what was done to the hands; unknown if empty", ""),
    "date_set": ("whether the date was set along with them; no if empty", ""),
    "nothing_between": ("whether it is sure that it was not wound since the winding before; no if empty", ""),
    "side_spring_used": ("whether the chronograph ran or the alarm rang since the winding before; no if empty", ""),
    "shown": ("the time on the hands of a stopped watch", "such as 4:37"),
    "shown_date": ("the day in the window of a stopped watch", "1 to 31"),
    "seen": ("the state it was seen in; needed for a sighting", ""),
    "indicator_reading": ("what the reserve indicator showed", "0 to 1, or hours, as the register says"),
    "act": ("what was done; needed: put on or laid down for wear, on or off for a winder", ""),
    "turns_a_day": ("turns a day that it gets on the winder it is put on, in the directions that wind it", _NUMBER),
    "occasion": ("what a service was for; of a reading: before service, after service or in between", _TEXT),
    "work_done": ("what was done", _TEXT),
    "parts": (
        "its parts, one a line; a spring with its dimensions before and after",
        "such as mainspring: 1.3 × 0.115 × 350 > 1.3 × 0.11 × 360",
    ),
    "lubricants": ("what it was oiled and greased with", _TEXT),
    "done_by": ("by whom", _TEXT),
    "cost": ("for how much", _TEXT),
    "position": ("the position it was read in, by ISO 3158 (FH is taken for CB); needed for a reading", ""),
    "since_wind_min": ("minutes since it was fully wound", _NUMBER),
    "rate_s_per_day": ("its rate, plus is fast", "seconds a day"),
    "amplitude_deg": ("its amplitude", "degrees"),
    "beat_error_ms": ("its beat error", "milliseconds"),
    "lift_angle_deg": ("the lift angle it was read with; else the register's, else assumed", "degrees"),
    "vibrations_per_hour": ("the beats an hour it was read at; else the register's", _COUNT),
    "temperature_c": ("the temperature", "degrees Celsius"),
    "programme_day": ("the day of the programme of ISO 3159, if its rate is that of a whole day", "1 to 15"),
    "sign": ("which sign of a fault was looked at; needed for a sign", ""),
    "word": ("what was found of it", "as the page Sum and observation has it"),
    "figure": ("or the figure found", _NUMBER),
    "expected": ("and what it should be", _NUMBER),
    "note": ("anything else", _TEXT),
    "replaces": ("the uid of the entry this one corrects", ""),
}

_NEEDED: dict[Kind, tuple[str, ...]] = {"watches": ("nickname",), "log": ("watch", "entry", "at")}


def columns(kind: Kind) -> list[Column]:
    """The columns of a file of this kind, in the order they are written."""
    table = _WATCHES if kind == "watches" else _LOG
    return [_column(kind, name, *told) for name, told in table.items()]


def entry_columns(entry: EntryKind) -> set[str]:
    """The columns an entry of this kind can fill."""
    return {"watch", "entry"} | set(ENTRIES[entry][0].model_fields) - NOT_IN_FILES


def columns_markdown(kind: Kind) -> str:
    """The columns as the README shows them."""
    lines = [f"| {say('column')} | {say('meaning')} | {say('a cell holds')} |", "| --- | --- | --- |"]
    for column in columns(kind):
        only = "" if kind == "watches" else _only_for(column.name)
        lines.append(f"| `{column.name}` | {only}{say(column.meaning)} | {say(column.accepted)} |")
    return "\n".join(lines) + "\n"


def _only_for(name: str) -> str:
    kinds = [entry for entry in ENTRIES if name in entry_columns(entry)]
    return "" if len(kinds) == len(ENTRIES) else say("({kinds}) ", kinds=", ".join(say(kind) for kind in kinds))


def _column(kind: Kind, name: str, meaning: str, accepted: str) -> Column:
    words = _words_of(kind, name)
    return Column(name, meaning, accepted or ", ".join(words), words, needed=name in _NEEDED[kind])


def _words_of(kind: Kind, name: str) -> tuple[str, ...]:
    if name == "entry":
        return get_args(EntryKind)
    models: list[type[BaseModel]] = (
        [RegisterWatch] if kind == "watches" else [command for command, _ in ENTRIES.values()]
    )
    told = [_words(model.model_fields[name].annotation) for model in models if name in model.model_fields]
    return tuple(dict.fromkeys(word for words in told for word in words))


def _words(annotation: Any) -> tuple[str, ...]:
    if annotation is bool:
        return ("yes", "no")
    if get_origin(annotation) is Literal:
        return tuple(str(word) for word in get_args(annotation))
    if get_origin(annotation) is tuple:
        return ()
    return tuple(word for part in get_args(annotation) for word in _words(part))
