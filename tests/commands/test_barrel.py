"""What the bench knows of a barrel: kept, edited, taken back."""

from collections.abc import Callable

import pytest

from tests.core.barrel.drums import USUAL
from tracker.commands.barrel import BarrelFields, KeepBarrel
from tracker.commands.base import Who
from tracker.commands.build import build
from tracker.commands.door import submit
from tracker.commands.undo import Undo
from tracker.core.barrel.kept import Kept, hours_of
from tracker.errors import BadInput, Conflict
from tracker.store import barrels
from tracker.store.store import Store

Give = Callable[..., str]
SPRING = USUAL | {"thickness_mm": "0,115", "height_mm": "1.3 mm"}


def _kept(store: Store, watch: str) -> barrels.KeptRow:
    found = barrels.barrel_of_watch(store.reading(), watch)
    assert found is not None
    return found


def test_a_barrel_is_read_as_it_was_kept(store: Store, anna: str, give: Give) -> None:
    assert not barrels.any_barrel(store.reading())
    give("KeepBarrel", watch_uid=anna, **SPRING)
    assert _kept(store, anna).kept == Kept(**USUAL)
    assert barrels.kept_barrels(store.reading()).keys() == {anna}


def test_what_is_not_known_stays_unknown(store: Store, anna: str, give: Give) -> None:
    give("KeepBarrel", watch_uid=anna, drum_diameter_mm="5 ligne", barrel_teeth="84", pinion_leaves="12")
    kept = _kept(store, anna).kept
    assert kept.drum_diameter_mm == pytest.approx(11.279)
    assert (kept.length_mm, kept.free_turns, kept.source, hours_of(kept)) == (None, None, None, 7.0)


def test_an_edit_undone_brings_the_former_spring_back(store: Store, who: Who, anna: str, give: Give) -> None:
    give("KeepBarrel", watch_uid=anna, **SPRING)
    give("KeepBarrel", watch_uid=anna, version=1, **SPRING | {"length_mm": 330})
    assert _kept(store, anna).kept.length_mm == 330
    submit(store, [Undo()], who)
    assert _kept(store, anna).kept == Kept(**USUAL)
    submit(store, [Undo()], who)
    assert barrels.barrel_of_watch(store.reading(), anna) is None
    give("KeepBarrel", watch_uid=anna, note="once more")
    assert _kept(store, anna).kept.note == "once more"


def test_who_saw_no_barrel_writes_over_none(store: Store, anna: str, give: Give) -> None:
    give("KeepBarrel", watch_uid=anna, **SPRING)
    with pytest.raises(Conflict):
        give("KeepBarrel", watch_uid=anna, note="the first, I think")
    assert _kept(store, anna).kept.note == ""


def test_a_spring_that_does_not_go_in_is_not_kept(store: Store, anna: str, give: Give) -> None:
    with pytest.raises(BadInput, match="leaves no room to turn"):
        give("KeepBarrel", watch_uid=anna, **SPRING | {"length_mm": "800"})
    assert barrels.barrel_of_watch(store.reading(), anna) is None


def test_readings_that_can_not_be_are_blamed_by_their_field() -> None:
    read = {"gauge_full_nmm": "8", "gauge_later_nmm": "9", "gauge_turns": "2"}
    with pytest.raises(BadInput) as refused:
        build(BarrelFields, SPRING | read).kept()
    assert refused.value.field == "gauge_later_nmm"


def test_a_barrel_moves_no_estimate(store: Store, who: Who, anna: str) -> None:
    counter = "SELECT log_counter FROM watch"
    before = store.reading().execute(counter).fetchall()
    submit(store, [KeepBarrel(watch_uid=anna, note="x")], who)
    assert store.reading().execute(counter).fetchall() == before
