"""The curve of torque over a run."""

from dataclasses import dataclass

import numpy as np

from tracker.core.barrel.checked import check
from tracker.core.barrel.coils import coils_unwound, coils_wound
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.torque import stop_coils, torque_nmm
from tracker.core.normal import FloatArray

POINTS = 101


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """Torque (N mm) over the turns of one barrel left above the wall, 0 to `turns`; the train stops at `stop_turns`."""

    turns: FloatArray
    torque_nmm: FloatArray
    stop_turns: float


def course(barrel: Barrel, points: int = POINTS) -> Course:
    """The curve of one barrel's spring from the wall to full wind, as the train gets it; arrays of shape (points,).

    Raises:
        Unfit: the barrel can't be reckoned with.
    """
    check(barrel)
    unwound, wound = float(coils_unwound(barrel)), float(coils_wound(barrel))
    at = np.linspace(unwound, wound, points)
    torque = np.asarray(torque_nmm(barrel, at), dtype=np.float64)
    return Course(at - unwound, torque, float(stop_coils(barrel)) - unwound)
