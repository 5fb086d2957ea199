"""What the log takes, what it keeps, and what it refuses."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tracker.commands.base import Who
from tracker.core.timeline import OnWinder, Service, Shown, Sighting, Wear, Wind
from tracker.errors import BadInput, Conflict, GoingError, NotFound
from tracker.store import log
from tracker.store.store import Store
from tracker.uids import uid_of

NIGHT = {"at": "2026-11-24T22:15+01:00", "zone": "Europe/Berlin"}
NIGHT_UTC = datetime(2026, 11, 24, 21, 15, tzinfo=UTC)

Give = Callable[..., str]


def _refusal(kind: type[GoingError], act: Callable[[], object]) -> tuple[str, str]:
    with pytest.raises(kind) as caught:
        act()
    return caught.value.field, caught.value.sentence


def test_a_wind_is_kept_as_it_was_noted(store: Store, anna: str, give: Give) -> None:
    uid = give("LogWind", watch_uid=anna, **NIGHT, found="stopped", hands="set now", shown="437", shown_date="24")
    assert log.entries(store.reading(), [anna])[anna] == [
        Wind(
            uid=uid, at=NIGHT_UTC, zone="Europe/Berlin", found="stopped", hands="set now", shown=Shown(minutes=277, date=24)
        )
    ]  # fmt: skip


def test_every_kind_of_entry_comes_back_as_its_own_value(store: Store, anna: str, give: Give) -> None:
    wind = give("LogWind", watch_uid=anna, **NIGHT, amount="part", crown_turns="12,5", within_min=10)
    seen = give("LogSighting", watch_uid=anna, **NIGHT, seen="going", indicator_reading=30)
    worn = give("LogWear", watch_uid=anna, **NIGHT, act="put on")
    give("EditWatch", watch_uid=anna, nickname="Anna", indicator="hours", wound_by="crown and rotor")
    on = give("LogWinder", watch_uid=anna, **NIGHT, act="on", turns_a_day="650,5")
    off = give("LogWinder", watch_uid=anna, **NIGHT, act="off")
    served = give("LogService", watch_uid=anna, **NIGHT, work_done="cleaned")
    at: dict[str, Any] = {"at": NIGHT_UTC, "zone": "Europe/Berlin"}
    assert log.entries(store.reading(), [anna])[anna] == [
        Wind(uid=wind, amount="part", crown_turns=12.5, within_min=10, **at),
        Sighting(uid=seen, seen="going", indicator_reading=30, **at),
        Wear(uid=worn, act="put on", **at),
        OnWinder(uid=on, act="on", turns_a_day=650.5, **at),
        OnWinder(uid=off, act="off", **at),
        Service(uid=served, **at),
    ]


def test_an_entry_of_the_future_is_refused_but_for_clocks_that_differ(anna: str, give: Give, now: datetime) -> None:
    give("LogWind", watch_uid=anna, at=now + timedelta(minutes=5), zone="UTC")
    late = now + timedelta(minutes=6)
    assert _refusal(BadInput, lambda: give("LogWind", watch_uid=anna, at=late, zone="UTC")) == (
        "at",
        "This time lies in the future. An entry tells what has happened already.",
    )


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("LogWind", {}),
        ("LogSighting", {"seen": "going"}),
        ("LogWear", {"act": "put on"}),
        ("LogWinder", {"act": "on"}),
        ("LogService", {}),
    ],
)
def test_there_is_no_entry_without_its_watch(kind: str, fields: dict[str, Any], give: Give) -> None:
    said = _refusal(NotFound, lambda: give(kind, watch_uid=uid_of("nobody's"), **NIGHT, **fields))
    assert said == ("", "There is no such watch, or no longer.")


def test_a_dial_shows_no_more_than_its_hours(anna: str, give: Give) -> None:
    said = _refusal(
        BadInput, lambda: give("LogWind", watch_uid=anna, **NIGHT, found="stopped", shown="16:20", hands="set now")
    )
    assert said == (
        "shown",
        "A dial of 12 hours can't show 16:20. Give the time on the hands as it stands there, such as 4:37 or 437.",
    )
    big = give("RegisterWatch", nickname="Tower", dial_hours="24")
    give("LogSighting", watch_uid=big, **NIGHT, seen="stopped", shown="16:20")


def test_an_indicator_is_read_only_where_there_is_one(give: Give) -> None:
    plain = give("RegisterWatch", nickname="Plain")
    assert _refusal(
        BadInput, lambda: give("LogSighting", watch_uid=plain, **NIGHT, seen="going", indicator_reading=3)
    ) == ("indicator_reading", "Plain has no reserve indicator in the register. Edit the watch first if it has one.")


def test_a_winder_winds_only_what_has_a_rotor(store: Store, anna: str, give: Give) -> None:
    assert _refusal(BadInput, lambda: give("LogWinder", watch_uid=anna, **NIGHT, act="on")) == (
        "watch_uid",
        "Anna has no rotor in the register: a winder can't wind it. Edit the watch first if it has one.",
    )
    assert log.all_entry_rows(store.reading()) == []


def test_a_fraction_is_no_more_than_one(give: Give) -> None:
    watch = give("RegisterWatch", nickname="Part", indicator="fraction")
    assert _refusal(
        BadInput, lambda: give("LogSighting", watch_uid=watch, **NIGHT, seen="going", indicator_reading=30)
    ) == ("indicator_reading", "This indicator shows a fraction. Give a number from 0 to 1.")
    give("LogSighting", watch_uid=watch, **NIGHT, seen="going", indicator_reading=1)


def test_a_correction_takes_the_place_of_what_it_corrects(store: Store, anna: str, give: Give) -> None:
    first = give("LogWind", watch_uid=anna, **NIGHT)
    second = give("LogSighting", watch_uid=anna, **NIGHT, seen="going", replaces=first)
    rows = log.entry_rows(store.reading(), anna, voided=True)
    assert {row["uid"]: row["voided_by"] for row in rows} == {first: second, second: None}
    assert _refusal(Conflict, lambda: give("LogWind", watch_uid=anna, **NIGHT, replaces=first)) == (
        "",
        "This entry has been taken out already.",
    )
    assert _refusal(NotFound, lambda: give("LogWind", watch_uid=anna, **NIGHT, replaces=uid_of("none"))) == (
        "",
        "There is no such entry, or no longer.",
    )


def test_an_entry_is_taken_out_once_and_stays_readable(store: Store, anna: str, give: Give) -> None:
    wind = give("LogWind", watch_uid=anna, **NIGHT)
    void = give("VoidEntry", entry_uid=wind)
    assert log.entries(store.reading(), [anna]) == {}
    assert log.all_entry_rows(store.reading()) == []
    row = log.find_entry(store.reading(), wind)
    assert row is not None
    assert (row["table"], row["voided_by"]) == ("winding", void)
    assert _refusal(Conflict, lambda: give("VoidEntry", entry_uid=wind)) == (
        "",
        "This entry has been taken out already.",
    )


def test_nothing_is_taken_out_that_never_was(give: Give) -> None:
    said = _refusal(NotFound, lambda: give("VoidEntry", entry_uid=uid_of("never")))
    assert said == ("", "There is no such entry, or no longer.")


def test_a_watch_is_worn_by_someone_of_the_household(
    store: Store, who: Who, helper: Who, anna: str, give: Give
) -> None:
    give("LogWear", watch_uid=anna, **NIGHT, act="put on")
    give("LogWear", watch_uid=anna, **NIGHT, act="put on", worn_by=helper.person_uid)
    worn = store.reading().execute("SELECT worn_by FROM wear ORDER BY rowid").fetchall()
    assert worn == [(who.person_uid,), (helper.person_uid,)]
    said = _refusal(
        NotFound, lambda: give("LogWear", watch_uid=anna, **NIGHT, act="put on", worn_by=uid_of("stranger"))
    )
    assert said == ("", "There is no such person, or no longer.")


def test_the_newest_entry_of_a_watch_stands_first_the_oldest_of_all_first(store: Store, anna: str, give: Give) -> None:
    old = give("LogWind", watch_uid=anna, at="2026-11-01T07:00Z", zone="UTC")
    new = give("LogSighting", watch_uid=anna, at="2026-11-02T07:00Z", zone="UTC", seen="going")
    assert [row["uid"] for row in log.entry_rows(store.reading(), anna)] == [new, old]
    assert [(row["uid"], row["nickname"]) for row in log.all_entry_rows(store.reading())] == [
        (old, "Anna"),
        (new, "Anna"),
    ]
