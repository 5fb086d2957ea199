"""How a mass over a lattice lies along one of its axes, and where it ends: loops, compiled."""

import math

import numpy as np

from tracker.core.compiled import compiled
from tracker.core.normal import FloatArray
from tracker.core.prior import TINY

ONE_SLOPE = 1e-9
"""Less than this share of a mass on all slopes but one tells nothing of its lean: it may be no more than how sums were rounded."""


@compiled
def along(weight: FloatArray) -> tuple[FloatArray, float, float]:
    """What a weight tells along the middle one of three axes.

    Its marginal; the effective number of points that hold it, given the places on both others; how alike neighbouring
    points are (1: the same).
    """
    outer, points, inner = weight.shape
    marginal, number, total, squares, alike = np.zeros(points), 0.0, 0.0, 0.0, 0.0
    for i in range(outer):
        for k in range(inner):
            mass, square, beside = _in_line(weight[i, :, k], marginal)
            if square > 0.0:
                number += mass * mass * mass / square
            total += mass
            squares += square
            alike += beside
    return marginal, number / total, alike / squares


@compiled
def _in_line(weight: FloatArray, marginal: FloatArray) -> tuple[float, float, float]:
    """Add a line of weights to the marginal; its sum, that of its squares, and that of neighbours' products."""
    mass, square, beside, before = 0.0, 0.0, 0.0, 0.0
    for at in range(weight.size):
        here = weight[at]
        marginal[at] += here
        mass += here
        square += here * here
        beside += here * before
        before = here
    return mass, square, beside


@compiled
def tops(marginal: FloatArray, least: float) -> int:
    """Number of tops of a marginal, of all that stand above the `least` share of the highest."""
    found, bound = 0, least * marginal.max()
    for at in range(marginal.size):
        rises = at == 0 or marginal[at] > marginal[at - 1]
        falls = at == marginal.size - 1 or not marginal[at + 1] > marginal[at]
        found += rises and falls and marginal[at] > bound
    return found


@compiled
def _crossing(weight: FloatArray, last: int, least: float) -> float:
    """Place (in cells) at which the log of a weight falls through that of `least` after the point `last`, the last one above it."""
    here = _above(weight[last], least)
    if last + 1 < weight.size:
        return last + max(0.5, here / (here - _above(weight[last + 1], least)))
    fall = _above(weight[last - 1], least) - here
    room = 0.5 * (weight.size - 1)
    return last + (min(room, max(0.5, here / fall)) if fall > 0.0 else room)


@compiled
def _above(weight: float, least: float) -> float:
    return math.log(max(weight, TINY)) - math.log(least)


@compiled
def lean(joint: FloatArray, slope: FloatArray, level: FloatArray) -> float:
    """How fast the mean level of a mass over (slope, level) changes with the slope; 0 where nearly all of it has one slope."""
    total, mean = 0.0, 0.0
    for i in range(slope.size):
        for k in range(level.size):
            total += joint[i, k]
            mean += joint[i, k] * slope[i]
    variance, together = 0.0, 0.0
    for i in range(slope.size):
        away = slope[i] - mean / total
        for k in range(level.size):
            variance += joint[i, k] * away * away
            together += joint[i, k] * away * level[k]
    step = (slope[-1] - slope[0]) / (slope.size - 1)
    return together / variance if variance > ONE_SLOPE * total * step * step else 0.0


@compiled
def runs(joint: FloatArray, moved: FloatArray, least: float) -> FloatArray:
    """Every run of places (in cells) at which a mass over (slope, level) is above `least`: (run, two ends), by slope.

    Their ends lie as tracker.core.lattice.held says, each slope's `moved` back by so many cells. Each run is
    drawn on to that of the slope before which it is nearest to, and which has no nearer one: for a slope between these two it
    lies between them.
    """
    slopes, levels = joint.shape
    found, count, before = np.empty((slopes * (levels + 1), 2)), 0, np.empty((0, 2))
    for i in range(slopes):
        own = _runs_of_one(joint[i], least) - moved[i]
        for each in range(len(own)):
            found[count, 0], found[count, 1] = own[each, 0], own[each, 1]
            if len(before) > 0:
                near = _nearest(before, own[each])
                if _nearest(own, before[near]) == each:
                    found[count, 0] = min(own[each, 0], before[near, 0])
                    found[count, 1] = max(own[each, 1], before[near, 1])
            count += 1
        before = own
    return found[:count]


@compiled
def _nearest(intervals: FloatArray, one: FloatArray) -> int:
    found = 0
    for each in range(len(intervals)):
        if abs(intervals[each].sum() - one.sum()) < abs(intervals[found].sum() - one.sum()):
            found = each
    return found


@compiled
def _runs_of_one(weight: FloatArray, least: float) -> FloatArray:
    last = weight.size - 1
    found, count, begin = np.empty((weight.size, 2)), 0, 0
    for at in range(weight.size):
        if weight[at] > least:
            if at == 0 or not weight[at - 1] > least:
                begin = at
            if at == last or not weight[at + 1] > least:
                found[count, 0] = last - _crossing(weight[::-1], last - begin, least)
                found[count, 1] = _crossing(weight, at, least)
                count += 1
    return found[:count]
