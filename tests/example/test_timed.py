"""What the example's visiting watchmaker read."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from tracker.collection import owner
from tracker.commands.door import submit
from tracker.commands.register import RegisterWatch
from tracker.core.timing import amplitude_after_24h, amplitude_full, doubts, newest_sitting, summary
from tracker.example.cast import CAST
from tracker.example.days import Days
from tracker.example.fill import watch_uid
from tracker.example.timed import VISITS, readings
from tracker.store.readings import readings as kept
from tracker.store.store import Store

NOW = datetime(2026, 11, 25, 7, 25, 40, tzinfo=UTC)
DAYS = Days(NOW, ZoneInfo("Europe/London"))
ROLES = {role.fields.nickname: role for role in CAST}


def test_every_uid_is_given_once_and_the_same_each_time() -> None:
    first, again = readings(DAYS), readings(DAYS)
    assert len({each.uid for each in first}) == len(first)
    assert [each.model_dump() for each in first] == [each.model_dump() for each in again]


@pytest.mark.parametrize("zone", ["Europe/London", "Pacific/Auckland", "America/St_Johns"])
def test_nothing_lies_in_the_future(zone: str) -> None:
    assert max(each.at for each in readings(Days(NOW, ZoneInfo(zone)))) < NOW


def test_before_a_service_lies_between_handing_in_and_coming_back_and_after_it_after() -> None:
    back = {mended.days_ago for mended in ROLES["Slack water"].spring.services}
    by = {visit.occasion: visit.days_ago for visit in VISITS if visit.nickname == "Slack water"}
    served = min(back)
    assert by["after service"] < served < by["before service"] < served + 9


def test_the_beat_rates_are_those_of_the_register() -> None:
    for visit in VISITS:
        fields = ROLES[visit.nickname].fields
        assert (visit.vibrations_per_hour, visit.lift_angle_deg) == (fields.vibrations_per_hour, fields.lift_angle_deg)


def test_a_service_shows_in_them_and_a_lift_angle_that_was_not_entered_is_assumed(store: Store) -> None:
    names = {visit.nickname for visit in VISITS}
    watches = [
        RegisterWatch(uid=watch_uid(name), **ROLES[name].fields.model_dump(exclude_unset=True)) for name in names
    ]
    submit(store, [*watches, *readings(DAYS)], owner(store, "example", NOW))
    told = kept(store.reading(), [watch_uid(name) for name in names])
    served, spare = told[watch_uid("Slack water")], told[watch_uid("Workshop spare")]
    before, after = (amplitude_after_24h(newest_sitting(served, when)) for when in ("before service", "after service"))
    assert before is not None
    assert after is not None
    assert before.value < 220 < after.value
    assert not after.assumed
    full = amplitude_full(spare)
    assert full is not None
    assert full.assumed
    assert summary(newest_sitting(served)).isochronism is not None
    assert [doubts(each) for each in (*served, *spare) if doubts(each)] == []
