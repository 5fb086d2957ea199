"""The kinds of field that commands are made of, each turning what people type into one form."""

import re
from datetime import UTC, datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from pydantic import AfterValidator, AwareDatetime, BeforeValidator, Field, StringConstraints
from pydantic_core import PydanticCustomError

from tracker import uids

MINUTES_AN_HOUR = 60


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


def _utc(moment: datetime) -> datetime:
    return moment.astimezone(UTC).replace(microsecond=0)


def shown_text(typed: object) -> object:
    """What the hands showed, typed as `4:37`, `4.37` or `437`, as `4:37`; blank means not read."""
    if not isinstance(typed, str):
        return typed
    text = typed.strip()
    if not text:
        return None
    match = re.fullmatch(r"(\d{1,2})[:.,h ]?(\d{2})", text)
    if match is None or int(match[1]) > 24 or int(match[2]) >= MINUTES_AN_HOUR:  # noqa: PLR2004 -- hours of a dial
        raise PydanticCustomError("shown", "shown")
    return f"{int(match[1])}:{match[2]}"


def blank_as_none(typed: object) -> object:
    """An empty field of a form or file is no value."""
    return None if isinstance(typed, str) and not typed.strip() else typed


def comma_as_point(typed: object) -> object:
    """A decimal comma is as good as a point."""
    return typed.strip().replace(",", ".") if isinstance(typed, str) else typed


Uid = Annotated[str, AfterValidator(_uid)]
Zone = Annotated[str, AfterValidator(known_zone)]
Moment = Annotated[AwareDatetime, AfterValidator(_utc)]
WithinMin = Annotated[float, BeforeValidator(comma_as_point), Field(ge=0, le=14 * 24 * 60, allow_inf_nan=False)]
Text = Annotated[str, StringConstraints(strip_whitespace=True, max_length=4000)]
ShortText = Annotated[str, StringConstraints(strip_whitespace=True, max_length=120)]
Nickname = Annotated[
    str, StringConstraints(strip_whitespace=True, min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")
]
ShownText = Annotated[str | None, BeforeValidator(shown_text)]
DayOfMonth = Annotated[int | None, BeforeValidator(blank_as_none), Field(ge=1, le=31)]
ReserveHours = Annotated[
    float | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
    Field(ge=1, le=10_000, allow_inf_nan=False),
]
Positive = Annotated[
    float | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
    Field(gt=0, le=100_000, allow_inf_nan=False),
]
NotNegative = Annotated[
    float | None,
    BeforeValidator(comma_as_point),
    BeforeValidator(blank_as_none),
    Field(ge=0, le=100_000, allow_inf_nan=False),
]
WholePositive = Annotated[int | None, BeforeValidator(blank_as_none), Field(gt=0, le=1_000_000)]
