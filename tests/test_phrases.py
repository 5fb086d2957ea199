"""Times, lengths and chances as people say them."""

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from tracker import phrases
from tracker.words import Dates, Formats, Speech, speak

BERLIN = ZoneInfo("Europe/Berlin")
Speaks = Callable[..., None]


@pytest.fixture
def speech() -> Iterator[Speaks]:
    """To be told the formats of a test."""
    yield lambda **formats: speak(Speech(formats=Formats(**formats)))
    speak(Speech())


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


DAY = datetime(2026, 11, 25, 18, 5, tzinfo=UTC)


@pytest.mark.parametrize(
    ("dates", "said"),
    [
        ("year first", ("2024-05-03", "05-03", "Wed 2026-11-25, 19:05", "Sun 2026-11-01")),
        ("day first", ("3 May 2024", "3 May", "Wed 25 Nov 2026, 19:05", "Sun 1 Nov")),
        ("month first", ("May 3, 2024", "May 3", "Wed Nov 25, 2026, 19:05", "Sun Nov 1")),
    ],
)
def test_days_are_written_in_the_chosen_order(dates: Dates, said: tuple[str, ...], speech: Speaks) -> None:
    speech(dates=dates)
    long_ago, earlier = date(2024, 5, 3), datetime(2026, 11, 1, 12, tzinfo=UTC)
    found = (phrases.date_of(long_ago), phrases.date_within_year(long_ago), phrases.full_date(DAY, BERLIN))
    assert (*found, phrases.day(earlier, DAY, BERLIN)) == said
    assert phrases.month_of(long_ago) == "May 2024"


@pytest.mark.parametrize(
    ("at", "said"), [((0, 5), "12:05 am"), ((7, 30), "7:30 am"), ((12, 0), "12:00 pm"), ((19, 0), "7:00 pm")]
)
def test_the_clock_shows_twelve_hours_where_chosen(at: tuple[int, int], said: str, speech: Speaks) -> None:
    assert phrases.clock(time(*at)) == f"{time(*at):%H:%M}"
    speech(clock="12 h")
    assert phrases.clock(time(*at)) == said


def test_lengths_have_the_chosen_decimal_mark(speech: Speaks) -> None:
    assert phrases.length(41.25, known_to_h=0.1) == "41.2 h"
    speech(decimal="comma")
    assert phrases.length(41.25, known_to_h=0.1) == "41,2 h"
    assert phrases.megabytes(300_000) == "0,3 MB"
