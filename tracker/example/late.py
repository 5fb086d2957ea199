"""Notes said late: “at the round”, “this morning”, “last night” stand for a moment nobody wrote down."""

from datetime import datetime, timedelta

from tracker.example.days import Days

AT_THE_ROUND_MIN = 20.0
PART_OF_DAY_MIN = 180.0
PARTS_OF_DAY_MIN = (9 * 60, 21 * 60)


def noted_as(at: datetime, days: Days, after: datetime, before: datetime) -> tuple[datetime, float]:
    """The noted moment and its width in minutes for what happened at `at`.

    It keeps the order of the notes: the noted moment lies between `after` and `before`; exact where it can't.
    """
    midnight = days.wall(at).date()
    minutes = (at - days.moment(midnight, 0)) / timedelta(minutes=1)
    half_hour = round(minutes / 30) * 30
    wide = [part for part in PARTS_OF_DAY_MIN if abs(part - minutes) <= PART_OF_DAY_MIN]
    said = [(part, PART_OF_DAY_MIN) for part in wide if at.minute % 2] + [(half_hour, AT_THE_ROUND_MIN)]
    for part, within_min in said:
        noted = days.moment(midnight, part)
        if after < noted < before and abs(noted - at) <= timedelta(minutes=within_min):
            return noted, within_min
    return at, 0.0
