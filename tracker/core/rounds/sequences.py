"""Given the open rounds: in which of them each watch is wound, as seldom as can be and as far from its deadline."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracker.core.rounds.problem import FAR, Flags, Micros, Problem

NOT_ALLOWED = -1


class Sequences(NamedTuple):
    """`wound` (w × k): in which open rounds; `least_margin` (w): microseconds, FAR where no winding had a deadline."""

    wound: Flags
    least_margin: Micros


def sequences(given: Problem, opened: tuple[int, ...]) -> Sequences:
    """For each watch alone: its fewest windings, then its largest least margin, then the earliest rounds.

    The open rounds must be bridged for every watch. The margin of a first winding in a given round is left out.
    """
    margins, ends = _margins(given, opened)
    best = _best(margins, ends)
    return _earliest(margins, best)


def _margins(given: Problem, opened: tuple[int, ...]) -> tuple[Micros, Flags]:
    """From each row (now, then each open round) to each open round the margin (w × k + 1 × k); and where a watch may end."""
    here = np.array(opened, dtype=np.int64)
    times = given.rounds[here]
    deadlines = np.concatenate([given.first[:, None], given.deadlines[:, here]], axis=1)
    margins = deadlines[:, :, None] - times[None, None, :]
    following = np.concatenate([[0], here + 1])
    gap = given.excused[:, here]
    excused = np.concatenate(
        [(given.first < given.rounds[0])[:, None] if len(here) else given.asked[:, None], gap], axis=1
    )
    very_next = following[:, None] == here[None, :]
    margins = np.where(margins < 0, NOT_ALLOWED, margins)
    margins = np.where(excused[:, :, None] & very_next[None, :, :], FAR, margins)
    ahead = np.arange(len(here) + 1)[:, None] <= np.arange(len(here))[None, :]
    margins = np.where(ahead[None, :, :], margins, NOT_ALLOWED)
    # A winding in a given round has the margin it has; it is the others that are chosen.
    there = here[None, :] == given.pinned[:, None]
    margins[:, 0] = np.where(given.is_pinned[:, None], np.where(there, FAR, NOT_ALLOWED), margins[:, 0])
    last = np.concatenate([[False], here == len(given.rounds) - 1]) if len(given.rounds) else np.array([True])
    ends: Flags = (deadlines >= given.end) | last[None, :]
    ends[:, 0] &= ~given.is_pinned
    return margins, ends


def _best(margins: Micros, ends: Flags) -> Micros:
    """The best least margin from each row on (k + 1 × w × k + 1), by the number of windings still to come."""
    w, rows, k = margins.shape
    best = np.full((k + 1, w, rows), NOT_ALLOWED, dtype=np.int64)
    best[0] = np.where(ends, FAR, NOT_ALLOWED)
    for count in range(1, k + 1):
        if (best[:count, :, 0] > NOT_ALLOWED).any(axis=0).all():
            return best[:count]
        if k:
            best[count] = np.minimum(margins, best[count - 1][:, None, 1:]).max(axis=2)
    return best


def _earliest(margins: Micros, best: Micros) -> Sequences:
    w, _, k = margins.shape
    everyone = np.arange(w)
    left = (best[:, :, 0] > NOT_ALLOWED).argmax(axis=0)
    goal: NDArray[np.int64] = best[left, everyone, 0]
    wound = np.zeros((w, k), dtype=bool)
    row = np.zeros(w, dtype=np.int64)
    while (busy := np.flatnonzero(left > 0)).size:
        left[busy] -= 1
        onward = np.minimum(margins[busy, row[busy]], best[left[busy], busy, 1:])
        chosen = (onward >= goal[busy, None]).argmax(axis=1)
        wound[busy, chosen] = True
        row[busy] = chosen + 1
    return Sequences(wound, goal)
