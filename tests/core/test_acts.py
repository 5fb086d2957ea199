from datetime import timedelta

from tests.core.notes import log
from tracker.core.acts import Act, acts
from tracker.core.crownturns import Turns
from tracker.core.logwalk import walk
from tracker.core.scale import Scale
from tracker.core.timeline import in_order

FULL = Turns(27.0, 30.0, 33.0, 4)


def kinds(text: str, *, by_rotor: bool = True) -> list[str]:
    return [act.kind for act in told(text, by_rotor=by_rotor)]


def told(text: str, *, by_rotor: bool = True, scale: Scale | None = None) -> tuple[Act, ...]:
    notes = in_order(log(text))
    return acts(notes, walk(notes, by_rotor=by_rotor), FULL, scale)


def test_they_begin_with_the_last_moment_at_which_all_was_known() -> None:
    assert kinds("""
        2026-03-01 08:00 wound, was going
        2026-03-02 08:00 wound, was going
        2026-03-02 20:00 seen going
        2026-03-02 21:00 seen going
        2026-03-03 08:00 put on
        2026-03-03 12:00 laid down
    """) == ["going", "full", "going", "on wrist", "at rest"]


def test_wound_where_it_is_moved_it_is_moved_still() -> None:
    found = told("""
        2026-03-01 08:00 on the winder, 700
        2026-03-02 08:00 wound, was going
        2026-03-02 09:00 seen going
    """)
    assert [(act.kind, act.low) for act in found[1:]] == [("full", None), ("on winder", 700.0), ("going", None)]
    assert kinds("2026-03-01 08:00 put on\n2026-03-02 08:00 wound, was going") == ["going", "full", "on wrist"]
    assert kinds("2026-03-01 08:00 put on\n2026-03-01 09:00 stopped\n2026-03-02 08:00 wound, had stopped")[-1] == "full"


def test_a_stop_is_such_a_moment_and_what_came_before_it_is_forgotten() -> None:
    assert kinds("""
        2026-03-01 08:00 wound, was going
        2026-03-03 08:00 stopped
        2026-03-03 09:00 put on
    """) == ["stopped", "on wrist"]


def test_wear_for_long_enough_is_a_full_wind() -> None:
    assert kinds("""
        2026-03-01 08:00 wound, had stopped
        2026-03-01 08:30 put on
        2026-03-01 18:00 laid down
    """) == ["at rest", "full"]


def test_a_part_wind_tells_its_turns_or_that_nobody_counted() -> None:
    text = """
        2026-03-01 08:00 stopped
        2026-03-01 08:05 part wound, had stopped
    """
    assert kinds(text, by_rotor=False) == ["stopped", "stopped", "some"]


def test_a_service_leaves_nothing_known() -> None:
    assert kinds("""
        2026-03-01 08:00 wound, was going
        2026-03-02 08:00 service
        2026-03-03 08:00 put on
    """) == ["on wrist"]


def test_the_winder_and_its_turns() -> None:
    found = told("""
        2026-03-01 08:00 wound, was going
        2026-03-01 09:00 on the winder, 700
        2026-03-05 09:00 off the winder
    """)
    assert [(act.kind, act.low) for act in found[2:]] == [("on winder", 700.0), ("at rest", None)]


def test_of_a_watch_without_a_rotor_wear_and_winder_tell_no_more_than_that_it_goes() -> None:
    assert kinds(
        """
        2026-03-01 08:00 wound, was going
        2026-03-01 09:00 put on
        2026-03-01 10:00 on the winder
    """,
        by_rotor=False,
    ) == ["going", "full", "going"]


def test_a_reading_is_a_share_on_its_scale() -> None:
    text = """
        2026-03-01 08:00 wound, was going
        2026-03-02 08:00 reading, indicator 0.5
    """
    (*_, shown) = told(text, scale=Scale(0.9, 0.1, fixed=True))
    assert (shown.kind, shown.low, shown.high) == ("shows", 0.5, 0.05)
    assert [act.kind for act in told(text)] == ["going", "full"]


def test_what_was_done_long_before_the_last_act_is_left_out() -> None:
    found = told("""
        2026-03-01 08:00 wound, was going
        2026-03-01 09:00 put on
        2026-04-20 08:00 laid down
        2026-04-21 08:00 put on
    """)
    assert all(found[-1].at - act.at <= timedelta(days=21) for act in found)


def test_on_its_winder_for_months_it_is_there_still() -> None:
    found = told("""
        2026-03-01 08:00 wound, was going
        2026-03-01 09:00 on the winder, 700
        2026-05-20 08:00 seen going
    """)
    assert [(act.kind, act.low) for act in found] == [("on winder", 700.0), ("going", None)]
    assert found[1].at - found[0].at == timedelta(days=21)


def test_nothing_without_a_run() -> None:
    assert kinds("2026-03-01 08:00 stopped") == []
    assert kinds("") == []
