"""The kinds of field that commands are made of, each turning what people type into one form."""

import re
from datetime import UTC, date, datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, AwareDatetime, BeforeValidator, Field, StringConstraints, WithJsonSchema
from pydantic_core import PydanticCustomError

from tracker import uids
from tracker.core.thousands import two_ways
from tracker.core.timing import Position
from tracker.core.watch import Weekday
from tracker.words import Decimal, speech

MINUTES_AN_HOUR = 60
EARLIEST_YEAR = 1900
"""No log reaches further back; room below keeps sums of hours inside the calendar."""
_OTHER_MARK = str.maketrans(".,", ",.")
WIDEST_MIN = 14 * 24 * 60.0
"""No moment is noted less surely than within a fortnight."""


def _uid(text: str) -> str:
    if not uids.PATTERN.fullmatch(text):
        raise PydanticCustomError("uid", "uid")
    return text


def known_zone(name: str) -> str:
    """The name itself, if the time zone database has it."""
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:  # unknown; not a name; a folder of the database
        raise PydanticCustomError("zone", "zone") from error
    return name


def dated(typed: object) -> object:
    """A moment as text that begins with its date, or a datetime; a bare number would be read as seconds since 1970."""
    text = typed.strip() if isinstance(typed, str) else typed
    if isinstance(text, datetime) or (isinstance(text, str) and re.match(r"\d{4}-\d\d-\d\d", text)):
        return text
    raise PydanticCustomError("moment", "moment")


def _utc(moment: datetime) -> datetime:
    try:
        utc = moment.astimezone(UTC).replace(microsecond=0)
    except OverflowError as error:  # the last hours of the calendar, seen from the west
        raise PydanticCustomError("moment", "moment") from error
    if utc.year < EARLIEST_YEAR:
        raise PydanticCustomError("long_ago", "long_ago", {"year": EARLIEST_YEAR})
    return utc


def shown_text(typed: object) -> object:
    """What the hands showed, typed as `4:37`, `4.37` or `437`, as `4:37`; blank means not read."""
    if typed is None:
        return None
    text = str(typed).strip() if isinstance(typed, str | int) else "?"
    if not text:
        return None
    match = re.fullmatch(r"(\d{1,2})[:.,h ]?(\d{2})", text)
    if match is None or int(match[1]) > 24 or int(match[2]) >= MINUTES_AN_HOUR:  # noqa: PLR2004 -- hours of a dial
        raise PydanticCustomError("shown", "shown")
    return f"{int(match[1])}:{int(match[2]):02d}"


def blank_as_none(typed: object) -> object:
    """An empty field of a form or file is no value."""
    return None if isinstance(typed, str) and not typed.strip() else typed


def _a_day(typed: object) -> object:
    """A day as it stands in a calendar, such as 2026-11-25."""
    if typed is None or (isinstance(typed, date) and not isinstance(typed, datetime)):
        return typed
    text = typed.strip() if isinstance(typed, str) else "?"
    try:
        day = date.fromisoformat(text) if re.fullmatch(r"\d{4}-\d\d-\d\d", text) else None
    except ValueError:
        day = None
    if day is None:
        raise PydanticCustomError("day", "day")
    if day.year < EARLIEST_YEAR:
        raise PydanticCustomError("long_ago", "long_ago", {"year": EARLIEST_YEAR})
    return day


def comma_as_point(typed: object) -> object:
    """A decimal comma is as good as a point."""
    if isinstance(typed, str | float) and str(typed).strip(" +-").lower() == "nan":  # no bound would say what is wrong
        raise PydanticCustomError("finite_number", "finite_number")
    return unmistakable(typed).strip().replace(",", ".") if isinstance(typed, str) else typed


def unmistakable(typed: str) -> str:
    """The text itself, unless a figure of it may be meant with a mark between its thousands.

    Raises:
        PydanticCustomError: it may.
    """
    mark: Decimal = speech().formats.decimal
    figure = two_ways(typed, mark)
    if figure is not None:
        ways = {"figure": figure, "whole": figure.replace(",", "").replace(".", "")}
        raise PydanticCustomError("thousands", "thousands", {**ways, "other": figure.translate(_OTHER_MARK)})
    return typed


def _weekdays(typed: object) -> object:
    return tuple(typed.replace(",", " ").split()) if isinstance(typed, str) else typed


Weekdays = Annotated[tuple[Weekday, ...], BeforeValidator(_weekdays)]
Uid = Annotated[str, AfterValidator(_uid), WithJsonSchema({"type": "string", "pattern": f"^{uids.PATTERN.pattern}$"})]
Zone = Annotated[str, StringConstraints(strip_whitespace=True), AfterValidator(known_zone)]
Moment = Annotated[AwareDatetime, BeforeValidator(dated), AfterValidator(_utc)]
WithinMin = Annotated[float, BeforeValidator(comma_as_point), Field(ge=0, le=WIDEST_MIN, allow_inf_nan=False)]
Text = Annotated[str, StringConstraints(strip_whitespace=True, max_length=4000)]
ShortText = Annotated[str, StringConstraints(strip_whitespace=True, max_length=120)]
Nickname = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")
]
ShownText = Annotated[str | None, BeforeValidator(shown_text)]
# A bound stands on the number itself: on "number or none" it would be tried on the none of a blank field.
Hours = Annotated[float, Field(ge=1, le=10_000, allow_inf_nan=False)]
More = Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False)]
NoLess = Annotated[float, Field(ge=0, le=100_000, allow_inf_nan=False)]

Day = Annotated[date | None, BeforeValidator(_a_day), BeforeValidator(blank_as_none)]
Years = Annotated[
    Annotated[float, Field(ge=1, le=50, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
DayOfMonth = Annotated[Annotated[int, Field(ge=1, le=31)] | None, BeforeValidator(blank_as_none)]
ReserveHours = Annotated[Hours | None, BeforeValidator(comma_as_point), BeforeValidator(blank_as_none)]
Positive = Annotated[More | None, BeforeValidator(comma_as_point), BeforeValidator(blank_as_none)]
NotNegative = Annotated[NoLess | None, BeforeValidator(comma_as_point), BeforeValidator(blank_as_none)]
WholePositive = Annotated[Annotated[int, Field(gt=0, le=1_000_000)] | None, BeforeValidator(blank_as_none)]
Vibrations = Annotated[Annotated[int, Field(ge=3_600, le=360_000)] | None, BeforeValidator(blank_as_none)]


def _position(typed: object) -> object:
    """A position of ISO 3158, whatever its capitals; dial down is also written FH."""
    text = typed.strip().upper() if isinstance(typed, str) else typed
    return "CB" if text == "FH" else text


PositionRead = Annotated[Position, BeforeValidator(_position)]
SinceWind = Annotated[
    Annotated[float, Field(ge=0, le=20160, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
Rate = Annotated[
    Annotated[float, Field(ge=-20000, le=20000, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
Amplitude = Annotated[
    Annotated[float, Field(ge=10, le=360, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
BeatError = Annotated[
    Annotated[float, Field(ge=-100, le=100, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
LiftAngle = Annotated[
    Annotated[float, Field(ge=20, le=90, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
Temperature = Annotated[
    Annotated[float, Field(ge=-20, le=60, allow_inf_nan=False)] | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
]
ProgrammeDay = Annotated[Annotated[int, Field(ge=1, le=15)] | None, BeforeValidator(blank_as_none)]
