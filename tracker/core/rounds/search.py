"""Of all ways with the fewest rounds one with the fewest windings: labels that grow from round to round.

A label tells the windings so far and how far each watch reaches. It beats another in the same round if its windings, with
one more for each watch that reaches less far, are no more: those watches could be wound there and then.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from tracker.core.rounds.bridges import Network
from tracker.core.rounds.problem import Indexes, Problem

BEAM = 8
"""So many labels a round give a first plan; it is nearly always the best already."""
MOST_LABELS = 400
"""More labels than this in one round are cut off, and the answer says how far from the fewest it may be."""
NEVER = 1 << 20


class Way(NamedTuple):
    """A set of open rounds (ascending indexes), its windings, and how many fewer there may be with as few rounds."""

    open: tuple[int, ...]
    windings: int
    within: int = 0


@dataclass(frozen=True, slots=True)
class Reaches:
    """How far watches reach, as the index of the last useful round that does; the number of rounds where to the end.

    `at_first` (w) before any winding, `after` (w × m) wound in a round, `more` (w × m + 1) the least number of windings
    still needed by a watch that reaches to a round.
    """

    at_first: Indexes
    after: Indexes
    more: Indexes


class Labels(NamedTuple):
    """Ways to one round: windings (n), reaches (n × w), open rounds of each."""

    windings: Indexes
    reach: Indexes
    ways: list[tuple[int, ...]]

    def only(self, places: Sequence[int] | Indexes) -> "Labels":
        """These, in this order."""
        return Labels(self.windings[places], self.reach[places], [self.ways[place] for place in places])


def fewest_windings(given: Problem, net: Network, margin: int, most: int = NEVER) -> Way | None:
    """One way with the fewest rounds and, of these, the fewest windings; None if it needs more than `most`."""
    reaches = _reaches(given, net, margin)
    found, cut = _sweep(net, reaches, most, BEAM)
    if cut < (found.windings if found else most + 1):
        better, cut = _sweep(net, reaches, found.windings - 1 if found else most, MOST_LABELS)
        found = better or found
    return found and found._replace(within=max(0, found.windings - cut))


def _reaches(given: Problem, net: Network, margin: int) -> Reaches:
    m, useful = len(given.rounds), np.flatnonzero(net.useful)
    times = given.rounds[useful]

    def last_by(deadlines: Indexes) -> Indexes:
        places = np.searchsorted(times, deadlines - margin, side="right") - 1
        last: Indexes = (
            np.where(deadlines >= given.end, m, useful[np.maximum(places, 0)]) if len(useful) else places * 0
        )
        return last

    at_first = np.where(given.asked, last_by(given.first), m)
    at_first = np.where(given.is_pinned, given.pinned, at_first)
    after = np.maximum(last_by(given.deadlines), np.arange(m))
    more = np.zeros((len(given.first), m + 1), dtype=np.int64)
    rows = np.arange(len(given.first))
    for place in range(m - 1, -1, -1):
        # Where no round can be reached the next one is excused; after the last nothing more is asked.
        onward = np.where(after[:, place] == place, place + 1, after[:, place])
        more[:, place] = 1 + more[rows, onward]
    return Reaches(at_first, after, more)


def _sweep(net: Network, reaches: Reaches, most: int, width: int) -> tuple[Way | None, int]:
    """The best way with at most so many windings that `width` labels a round find, and what those cut off may have come to."""
    m = len(net.follows) - 1
    begin = Labels(np.zeros(1, dtype=np.int64), reaches.at_first[None, :], [()])
    arrived: list[list[Labels]] = [[] for _ in range(m + 1)]
    cut = NEVER
    for row in range(m + 1):
        labels = begin if row == 0 else _joined(arrived[row - 1])
        if labels is None:
            continue
        labels, lost = _kept(labels, reaches, most, width)
        cut = min(cut, lost)
        for column in np.flatnonzero(net.follows[row]):
            arrived[column].append(_extended(labels, reaches, row - 1, int(column)))
    ended = _joined(arrived[m])
    if ended is None or ended.windings.min() > most:
        return None, cut
    best = min(zip(ended.windings.tolist(), ended.ways, strict=True))
    return Way(best[1], best[0]), cut


def _joined(parts: Sequence[Labels]) -> Labels | None:
    if not any(part.ways for part in parts):
        return None
    return Labels(
        np.concatenate([part.windings for part in parts]),
        np.concatenate([part.reach for part in parts]),
        [way for part in parts for way in part.ways],
    )


def _extended(labels: Labels, reaches: Reaches, here: int, there: int) -> Labels:
    """To the next open round (or the end): whoever does not reach it is wound here."""
    if here < 0:
        return labels._replace(ways=[(there,)] * len(labels.ways) if there < reaches.after.shape[1] else labels.ways)
    short = labels.reach < there
    # A watch wound here that does not reach the very next round is excused, and due there.
    reach = np.where(short, np.maximum(reaches.after[:, here], there), labels.reach)
    ways = labels.ways if there == reaches.after.shape[1] else [(*way, there) for way in labels.ways]
    return Labels(labels.windings + short.sum(axis=1), reach, ways)


def _kept(labels: Labels, reaches: Reaches, most: int, width: int) -> tuple[Labels, int]:
    """The labels worth following, and the fewest windings that one cut off for want of room might have come to."""
    rows = np.arange(labels.reach.shape[1])
    least = labels.windings + reaches.more[rows, labels.reach].sum(axis=1)
    order = np.lexsort((-labels.reach.sum(axis=1), labels.windings, least))
    kept: list[int] = []
    for place in order[least[order] <= most]:
        if kept:
            behind = (labels.reach[kept] < labels.reach[place]).sum(axis=1)
            if (labels.windings[kept] + behind <= labels.windings[place]).any():
                continue
        if len(kept) == width:
            return labels.only(kept), int(least[place])
        kept.append(int(place))
    return labels.only(kept), NEVER
