"""What is wrong with the words of a call: argparse's sentences and the commands' own, as ours."""

import re

from tracker.errors import BadInput, BadRow
from tracker.words import say

OPTION_OF_FIELD = {
    "above_w": "--above-w",
    "amplitude_deg": "--amplitude",
    "anticlockwise_words": "--anticlockwise-words",
    "at": "--at",
    "beat_error_ms": "--beat-error",
    "belongs_to": "--belongs-to",
    "came_in": "--came-in",
    "calibre": "--calibre",
    "clockwise_words": "--clockwise-words",
    "confirm_readings": "--confirm-readings",
    "confirm_s": "--confirm",
    "crown_turns": "--turns",
    "crown_turns_to_full": "--turns-to-full",
    "direction": "--direction",
    "direction_at": "--direction-at",
    "expected_s": "--expected",
    "file": "FILE",
    "going_words": "--going-words",
    "habit_every_days": "--every",
    "habit_weekdays": "--weekdays",
    "hands": "--set, --not-set",
    "host": "--host",
    "indicator_reading": "--reading",
    "job_number": "--job-number",
    "lift_angle_deg": "--lift-angle",
    "least_reserve_h": "--least-reserve",
    "lower": "--lower",
    "months": "--months",
    "nickname": "NICKNAME",
    "note": "--note",
    "other_springs": "--other-springs",
    "parts": "--part",
    "per_turn": "--per-turn",
    "photo": "--photo",
    "place": "--place",
    "position": "--position",
    "programme_day": "--programme-day",
    "promised_for": "--promised",
    "rate_s_per_day": "--rate",
    "record": "--record",
    "reports": "--reports",
    "serial": "--serial",
    "set": "--set",
    "service_due_on": "--service-due",
    "service_every_years": "--service-every",
    "setting_details": "--setting-details",
    "shown": "--showing",
    "since_wind_min": "--since-wind",
    "stated_reserve_h": "--reserve",
    "stopped_words": "--stopped-words",
    "temperature_c": "--temperature",
    "time_at": "--time-at",
    "tolerance": "--tolerance",
    "topic": "--topic",
    "turns_a_day": "--turns-a-day",
    "turns_per_min": "--turns-per-min",
    "upper": "--upper",
    "value": "--value",
    "value_at": "--value-at",
    "vibrations_per_hour": "--vibrations",
    "wear_fills_h": "--wear-fills",
    "winder_pause_h": "--winder-pause",
    "winder_turns_a_day": "--winder-turns",
    "went_out": "--on, --went-out",
    "window_s": "--window",
    "wraps_at": "--wraps-at",
    "written": "--written",
}
"""The option that fills a field; a problem with the field is told by it."""

_SENTENCES: tuple[tuple[str, str, str], ...] = (
    # a sentence of argparse (Python 3.11 to 3.14), what is wrong, what is accepted
    (
        r"argument (?P<a>[^:]+): not allowed with argument (?P<b>.+)",
        "{b} and {a} contradict each other.",
        "Give one of them.",
    ),
    (r"the following arguments are required: (?P<a>.+)", "{a} is missing.", ""),
    (r"one of the arguments (?P<a>.+) is required", "One of {a} is missing.", ""),
    (r"unrecognized arguments: (?P<a>.+)", "“{a}” is not understood here.", ""),
    (
        r"argument COMMAND: invalid choice: '(?P<a>.*)' \(choose from (?P<b>.+)\)",
        "There is no command “{a}”.",
        "Choose {b}.",
    ),
    (
        r"argument (?P<c>[^:]+): invalid choice: '(?P<a>.*)' \(choose from (?P<b>.+)\)",
        "{c}: “{a}” is not one of the choices.",
        "Choose {b}.",
    ),
    (r"argument (?P<a>[^:]+): expected (one|at least one) argument", "{a} needs a word after it.", ""),
    (r"argument (?P<a>[^:]+): ignored explicit argument '(?P<b>.*)'", "{a} takes no word, and “{b}” was given.", ""),
)


class BadCall(BadInput):
    """Words after `going` that can't be understood; says which help tells more."""

    def __init__(self, what: str, *, accepted: str = "", program: str) -> None:
        super().__init__(what, accepted=f"{accepted} {say('{program} --help tells more.', program=program)}".strip())


def bad_call(sentence: str, program: str) -> BadCall:
    """Argparse's sentence about a call of `program` as ours; one we don't know stays as it is."""
    for pattern, what, accepted in _SENTENCES:
        match = re.fullmatch(pattern, sentence, re.DOTALL)
        if match is not None:
            values = {name: (text or "").replace("'", "") for name, text in match.groupdict().items()}
            return BadCall(say(what, **values), accepted=say(accepted, **values), program=program)
    return BadCall(f"{sentence.removeprefix('argument ')}.", program=program)


def at_option(problem: BadInput) -> str:
    """A problem with the option that is to blame before it, where there is one; rows of a file tell their own place."""
    option = "" if isinstance(problem, BadRow) else OPTION_OF_FIELD.get(problem.field, "")
    return say("{option}: {sentence}", option=option, sentence=problem.sentence) if option else problem.sentence
