"""Times, lengths and chances as people say them."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from tracker import phrases

BERLIN = ZoneInfo("Europe/Berlin")


@pytest.mark.parametrize(
    ("share", "said"),
    [(1.0, "over 99 %"), (0.991, "over 99 %"), (0.99, "99 %"), (0.504, "50 %"), (0.01, "1 %"), (0.0099, "under 1 %")],
)
def test_a_chance_is_no_surer_than_the_tails_are_known(share: float, said: str) -> None:
    assert phrases.chance(share) == said


def test_days_and_months_have_their_short_names_on_the_owners_clock() -> None:
    assert [phrases.month(number) for number in (1, 12)] == ["Jan", "Dec"]
    assert phrases.weekday(datetime(2026, 11, 25, 22, 59, tzinfo=UTC), BERLIN) == "Wed"
    assert phrases.weekday(datetime(2026, 11, 25, 23, 0, tzinfo=UTC), BERLIN) == "Thu"
