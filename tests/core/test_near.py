"""Finding stretches near a moment."""

from datetime import UTC, datetime, timedelta
from random import Random

from tracker.core.near import Near

START = datetime(2026, 3, 2, tzinfo=UTC)


def test_it_finds_what_looking_at_all_of_them_finds() -> None:
    chance = Random(4)
    moments = [START + timedelta(minutes=chance.randrange(5000)) for _ in range(300)]
    ends = [(at, at + timedelta(minutes=chance.choice([0, 1, 700]))) for at in moments]
    near = Near(ends, lambda each: each)
    for low in moments[:100]:
        high = low + timedelta(minutes=chance.choice([0, 30, 400]))
        assert near.touching(low, high) == sorted(each for each in ends if each[1] >= low and each[0] <= high)
        assert list(near.since(low)) == sorted(each for each in ends if each[1] >= low)


def test_nothing_is_near_where_there_is_nothing() -> None:
    first = datetime.min.replace(tzinfo=UTC)
    assert Near([], lambda each: each).touching(first, START) == []
    assert Near([(START, START)], lambda each: each).touching(first, START) == [(START, START)]
