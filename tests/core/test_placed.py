"""Notes against spells: when was what people noted?"""

import pytest

from tests.core.hearing import answered, heard, moment
from tests.core.notes import log
from tracker.core.near import Near
from tracker.core.placed import Placed, agreed, pieces, without

TWO = heard("2026-03-02 08:00 – 2026-03-04 04:00  stopped\n2026-03-04 07:31 – 2026-03-05 20:00  lost")


@pytest.mark.parametrize(
    ("note", "placed"),
    [
        # Noted at once, a winding was made before the watch was put back.
        ("2026-03-04 07:40 ±2  wound", "07:23–07:31"),
        ("2026-03-04 07:40 ±2  wound, was going", "07:23–07:31"),
        # What says that it had stopped belongs where it was not heard going.
        ("2026-03-04 03:00 ±180  stopped", "04:00–06:00"),
        ("2026-03-04 09:00 ±180  wound, had stopped", "06:00–07:31"),
        ("2026-03-04 06:00 ±10  stopped", "05:50–06:10"),
        # Said loosely, a winding that found it going may be anywhere about then.
        ("2026-03-04 09:00 ±180  wound, was going", "05:45–12:00"),
    ],
)
def test_a_note_belongs_where_sensors_leave_room_for_it(note: str, placed: str) -> None:
    (found,) = agreed(log(note), TWO.spells, ()).placed
    assert f"{found.low:%H:%M}–{found.high:%H:%M}" == placed


def test_a_note_that_contradicts_a_spell_takes_it_out_until_the_owner_has_said() -> None:
    notes = log("2026-03-03 20:00  stopped")
    assert agreed(notes, TWO.spells, ()).spells == [TWO.spells[1]]
    right = answered("the sensor", "2026-03-02 08:00", "1")
    assert agreed(notes, TWO.spells, [right]).spells == list(TWO.spells)


def test_looking_takes_nothing_out_of_a_spell_and_handling_does() -> None:
    def left(text: str) -> list[str]:
        placed = agreed(log(text), TWO.spells, ()).placed
        found = pieces(TWO.spells[0], Near[Placed](placed, lambda each: each.ends))
        return [f"{low:%d %H:%M}–{high:%d %H:%M}" for low, high in found]

    assert left("2026-03-03 08:00 ±20  seen going") == ["02 08:00–04 04:00"]
    assert left("2026-03-03 08:00 ±20  wound, was going") == ["02 08:00–03 07:25", "03 08:20–04 04:00"]


def test_a_stretch_less_another_is_what_lies_beside_it() -> None:
    a, b, c, d = (moment(f"2026-03-02 0{hour}:00") for hour in (1, 2, 3, 4))
    assert without((a, d), (b, c)) == [(a, b), (c, d)]
    assert without((b, c), (a, d)) == []
    assert without((a, b), (c, d)) == [(a, b)]
