"""Hours for one turn of the barrel: from the teeth of the train, or from turns counted over hours."""

from tracker.core.barrel.checked import check_number
from tracker.core.barrel.entered import Number


def hours_from_teeth(barrel_teeth: Number, pinion_leaves: Number, wheel_hours: Number = 1.0) -> Number:
    """Hours of one barrel turn: barrel teeth over leaves of the pinion they drive, times the hours of that wheel's turn.

    A centre wheel turns once an hour (definition).

    Raises:
        Unfit: a figure is not above 0.
    """
    check_number("barrel_teeth", barrel_teeth)
    check_number("pinion_leaves", pinion_leaves)
    check_number("wheel_hours", wheel_hours)
    return barrel_teeth / pinion_leaves * wheel_hours


def hours_from_count(turns: Number, hours: Number) -> Number:
    """Hours of one barrel turn, from so many turns counted over so many hours.

    Raises:
        Unfit: a figure is not above 0.
    """
    check_number("turns_counted", turns)
    check_number("hours_counted", hours)
    return hours / turns
