"""What the visiting watchmaker read of two watches of the example: invented figures, as everything in it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from tracker.commands.log import LogReading
from tracker.core.timing import Occasion, Position
from tracker.example.days import Days
from tracker.uids import uid_of

FROM_MIN = 11 * 60
"""When the first position is read, minutes after midnight; it was wound twenty minutes before."""
REST_MIN, EACH_MIN = 20, 6
DAY_MIN = 24 * 60

Read = Mapping[Position, tuple[float, float, float]]
"""Rate in seconds a day, amplitude in degrees, beat error in milliseconds, by position."""


@dataclass(frozen=True, slots=True)
class Visit:
    """One watch on the stand, days before today: at full wind, and a day later. The lift angle is None where not known."""

    nickname: str
    days_ago: int
    occasion: Occasion
    lift_angle_deg: float | None
    vibrations_per_hour: int
    full: Read
    day_later: Read


VISITS = (
    Visit(
        "Slack water",
        30,
        "before service",
        50.0,
        21_600,
        {
            "CH": (9.0, 252.0, 0.7),
            "CB": (7.5, 248.0, 0.7),
            "3H": (-6.0, 214.0, 0.9),
            "6H": (-11.0, 210.0, 0.8),
            "9H": (1.0, 217.0, 0.8),
            "12H": (-3.0, 212.0, 0.9),
        },
        {"CH": (17.0, 208.0, 0.8), "CB": (15.0, 204.0, 0.8), "6H": (-24.0, 181.0, 0.9)},
    ),
    Visit(
        "Slack water",
        20,
        "after service",
        50.0,
        21_600,
        {
            "CH": (4.0, 294.0, 0.2),
            "CB": (5.0, 291.0, 0.2),
            "3H": (1.5, 262.0, 0.3),
            "6H": (-1.0, 258.0, 0.3),
            "9H": (3.0, 264.0, 0.2),
            "12H": (0.5, 260.0, 0.3),
        },
        {"CH": (6.0, 262.0, 0.2), "CB": (6.5, 259.0, 0.2), "6H": (-2.5, 238.0, 0.3)},
    ),
    Visit(
        "Workshop spare",
        40,
        "in between",
        None,
        21_600,
        {"CH": (12.0, 246.0, 0.6), "CB": (10.5, 243.0, 0.6), "6H": (2.0, 209.0, 0.7)},
        {"CH": (19.0, 207.0, 0.6), "CB": (18.0, 203.0, 0.7)},
    ),
)


def readings(days: Days) -> list[LogReading]:
    """All of them, oldest first for each visit. The same days, the same commands."""
    return [command for visit in VISITS for command in _of(visit, days)]


def _of(visit: Visit, days: Days) -> Iterator[LogReading]:
    for since_min, read in ((REST_MIN, visit.full), (REST_MIN + DAY_MIN, visit.day_later)):
        for number, (position, (rate, amplitude, beat)) in enumerate(read.items()):
            later = number * EACH_MIN
            yield LogReading(
                uid=uid_of(
                    "example", days.now.isoformat(), "reading", visit.nickname, visit.occasion, f"{since_min + later}"
                ),
                watch_uid=uid_of("example", visit.nickname),
                at=days.moment(days.ago(visit.days_ago), FROM_MIN + since_min - REST_MIN + later),
                zone=days.zone.key,
                position=position,
                occasion=visit.occasion,
                since_wind_min=since_min + later,
                rate_s_per_day=rate,
                amplitude_deg=amplitude,
                beat_error_ms=beat,
                lift_angle_deg=visit.lift_angle_deg,
                vibrations_per_hour=visit.vibrations_per_hour,
                note="Read by the visiting watchmaker.",
            )
