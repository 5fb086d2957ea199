"""How long before its deadline each winding of a plan comes."""

from collections.abc import Sequence
from datetime import datetime, timedelta


def margins(wound: Sequence[datetime], wind_by: datetime | None, lasts: timedelta) -> list[timedelta | None]:
    """The margin of each of these windings of one watch, in order; below zero where it comes too late.

    Args:
        wound: its windings, ascending.
        wind_by: the deadline of the first, None where it has none (it has stopped).
        lasts: how far a winding carries.
    """
    deadlines = [wind_by, *(at + lasts for at in wound)]
    return [None if by is None else by - at for at, by in zip(wound, deadlines, strict=False)]
