"""Another watch? Beats that do not fit the watch said to lie there."""

from collections.abc import Sequence

from sensors.rest import Setup


def misfit(setup: Setup, readings: Sequence[tuple[float, float]]) -> tuple[float, float] | None:
    """From when to when the newest readings (stamp in seconds since 1970, value; in order) fit neither the watch nor rest.

    None if they do not, or not for as long as a change must hold to count. Only beats can fail to fit.
    """
    first = len(readings)
    while first > 0 and not setup.kind.sign(readings[first - 1][1]).fits:
        first -= 1
    unfit = readings[first:]
    if len(unfit) < setup.confirm_readings or unfit[-1][0] - unfit[0][0] < setup.confirm_s:
        return None
    return unfit[0][0], unfit[-1][0]
