from collections import Counter

from tracker.core.part import part_of
from tracker.core.watch import CLASS_RESERVE_H
from tracker.example.cast import CAST

FIELDS = [role.fields for role in CAST]


def test_fifteen_watches_each_with_a_nickname_of_its_own() -> None:
    assert len({fields.nickname.casefold() for fields in FIELDS}) == 15


def test_every_way_of_winding_habit_stake_and_reach_occurs() -> None:
    assert {fields.wound_by for fields in FIELDS} == {"crown", "crown and rotor", "rotor only", "key", "weights"}
    assert {fields.habit for fields in FIELDS} == {"when worn", "keep going", "on weekdays", "every n days", "at rest"}
    assert {fields.stake for fields in FIELDS} == {"time only", "date", "calendar"}
    assert {fields.reach for fields in FIELDS} == {"at hand", "only at", "out of reach"}


def test_from_slow_to_fast_and_from_a_day_and_a_half_to_eight_days() -> None:
    beats = {fields.vibrations_per_hour for fields in FIELDS if fields.vibrations_per_hour}
    stated = {fields.stated_reserve_h for fields in FIELDS if fields.stated_reserve_h}
    assert (min(beats), max(beats)) == (18_000, 36_000)
    assert (min(stated), max(stated)) == (36, 192)


def test_some_state_a_reserve_some_a_class_some_neither() -> None:
    kinds = Counter(
        "stated" if fields.stated_reserve_h else "class" if fields.reserve_class else "neither" for fields in FIELDS
    )
    assert kinds["stated"] >= 8
    assert kinds["class"] >= 3
    assert kinds["neither"] >= 2
    assert {fields.reserve_class for fields in FIELDS} <= {None, *CLASS_RESERVE_H}


def test_calibres_are_invented_codes() -> None:
    assert all(fields.calibre == "" or fields.calibre.startswith("K-") for fields in FIELDS)


def test_one_is_a_customers_and_one_has_an_indicator() -> None:
    assert [fields.belongs_to for fields in FIELDS if fields.job_number] == ["A pilot"]
    (customers,) = [role for role in CAST if role.fields.job_number]
    assert customers.job is not None
    (service,) = customers.spring.services
    parts = [part_of(line) for line in service.parts]
    assert [part.before is not None and part.after is not None for part in parts] == [True, False]
    assert service.pictured
    assert [fields.indicator for fields in FIELDS if fields.indicator != "none"] == ["hours"]


def test_runs_scatter_by_two_to_five_per_cent() -> None:
    assert all(0.02 <= role.spring.scatter <= 0.05 for role in CAST)
