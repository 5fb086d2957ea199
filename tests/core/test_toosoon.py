"""Did it stop too soon to be believed? By the runs before it."""

from collections.abc import Sequence
from itertools import pairwise

from tests.core.notes import read
from tracker.core.likelihood import Run
from tracker.core.toosoon import Earliest, late_enough


def _stops(count: int) -> str:
    """Wound every other morning, each time found stopped 36 h later, having been seen going an hour before."""
    days = range(1, 2 * count, 2)
    return "\n".join(
        f"2026-03-{day:02} 08:00  wound\n2026-03-{day + 1:02} 19:00  seen going\n2026-03-{day + 1:02} 20:00  stopped"
        for day in days
    )


def _counted(asked: list[int]) -> Earliest:
    """A point at 30 h that keeps count of how many runs it was asked after."""

    def earliest(runs: tuple[Run, ...], _age: float) -> float:
        asked.append(len(runs))
        return 30.0

    return earliest


def test_a_stop_before_the_point_is_not_believed_and_one_after_it_is() -> None:
    runs = read(_stops(3)).runs
    ends = [run.end_uid for run in runs]
    assert late_enough(runs, ends, lambda _runs, _age: 35.0) == set(ends)
    assert late_enough(runs, ends, lambda _runs, _age: 35.1) == set()


def test_the_point_is_told_by_the_runs_before_and_counts_what_was_not_believed_as_going() -> None:
    asked: list[Sequence[Run]] = []

    def earliest(runs: tuple[Run, ...], _age: float) -> float:
        asked.append(runs)
        return 99.0

    runs = read(_stops(3)).runs
    late_enough(runs, [run.end_uid for run in runs], earliest)
    assert [len(each) for each in asked] == [0, 1, 2]
    assert [run.evidence.kind for run in asked[-1]] == ["at_least", "at_least"]


def test_where_all_is_believed_the_point_is_asked_for_ever_more_seldom() -> None:
    asked, runs = list[int](), read(_stops(13)).runs
    late_enough(runs, [run.end_uid for run in runs], _counted(asked))
    assert asked == [0, 1, 2, 3, 4, 6, 8, 11]
    assert all(later > earlier for earlier, later in pairwise(asked))


def test_after_a_service_nothing_is_known_of_runs_before() -> None:
    asked = list[int]()
    log = f"{_stops(2)}\n2026-03-10 08:00  service\n{_stops(1).replace('-03-0', '-04-0')}"
    runs = read(log).runs
    late_enough(runs, [run.end_uid for run in runs], _counted(asked))
    assert asked == [0, 1, 0]
