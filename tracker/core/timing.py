"""Timing readings: what rate, amplitude and beat error in several positions come to, and what of them can hardly be so.

Positions are those of ISO 3158: CH dial up, CB dial down, 3H, 6H, 9H, 12H: that hour mark uppermost. Rates are seconds a
day (plus: fast), amplitudes degrees, beat errors milliseconds.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal, get_args

Position = Literal["CH", "CB", "3H", "6H", "9H", "12H"]
Occasion = Literal["before service", "after service", "in between"]
WindState = Literal["full wind", "after 24 h"]

POSITIONS: tuple[Position, ...] = get_args(Position)
FLAT: tuple[Position, ...] = ("CH", "CB")
"""The others are hanging."""

LIFT_ANGLE_DEG = 52.0
"""Where none is entered (common practice, no source)."""
FULL_MIN = (0.0, 360.0)
"""Minutes since a full wind that count as full wind: best read after 15 to 60 (common practice, no source) …"""
DAY_MIN = (20 * 60.0, 28 * 60.0)
"""… and as after 24 h."""
SITTING = timedelta(days=3)
"""Readings of one occasion no further apart than this from the newest belong to one sitting: full wind and a day later."""
GOOD_FLAT_DEG = (270.0, 315.0)
"""Amplitude at full wind in the flat positions (common practice, no source)."""
LEAST_AFTER_24H_DEG = 220.0
"""Below it an amplitude after 24 h is low (common practice, no source)."""
LEAST_READINGS = 2
"""An isochronism or a spread takes as many positions; an amplitude speaks for a service from as many readings on."""

USUAL_VPH = (14_400, 16_200, 18_000, 19_800, 21_000, 21_600, 25_200, 28_800, 36_000)
"""Beat rates of watches (common practice, no source)."""
USUAL_LIFT_DEG = (36.0, 60.0)
"""Lift angles of lever watches (from memory; common practice, no source)."""
USUAL_AMPLITUDE_DEG = (150.0, 330.0)
"""Below it a watch hardly goes on, above it the balance knocks (common practice, no source)."""
LARGE_BEAT_ERROR_MS = 1.0
"""Above it the beat is adjusted (common practice, no source)."""
LARGE_RATE_S = 300.0
"""A watch so far off is either hurt or magnetised, or timed at another beat rate (common practice, no source)."""
NEAR_RATIO_S = 200.0
"""A rate this near to that of another beat rate is probably timed at the wrong one."""
SECONDS_A_DAY = 86_400.0

Doubt = Literal["beat rate", "lift angle", "low amplitude", "knocking", "beat error", "rate", "wrong beat rate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading in one position; what was not read is None.

    `since_wind_min` is minutes since the full wind, None where nobody knows. `lift_assumed`: no lift angle was entered,
    so that amplitudes are no better than a guess of it. `programme_day` (1 to 15) and `temperature_c` belong to the
    programme of ISO 3159, whose rates are those of a whole day.
    """

    uid: str
    at: datetime
    position: Position
    occasion: Occasion = "in between"
    since_wind_min: float | None = None
    rate_s_per_day: float | None = None
    amplitude_deg: float | None = None
    beat_error_ms: float | None = None
    lift_angle_deg: float = LIFT_ANGLE_DEG
    lift_assumed: bool = True
    vibrations_per_hour: int | None = None
    temperature_c: float | None = None
    programme_day: int | None = None

    @property
    def state(self) -> WindState | None:
        """How far the spring was wound, where that is one of the two that are compared."""
        if self.since_wind_min is None:
            return None
        if FULL_MIN[0] <= self.since_wind_min <= FULL_MIN[1]:
            return "full wind"
        return "after 24 h" if DAY_MIN[0] <= self.since_wind_min <= DAY_MIN[1] else None


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure and how many readings stand behind it; `assumed`: of an amplitude, with a lift angle not entered."""

    value: float
    readings: int
    assumed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What the readings at one state of wind come to; None where they do not suffice.

    `spread` is the greatest mean rate of a position less the least; `flat_hang` the mean rate of the flat positions
    less that of the hanging ones; `beat_error` the greatest.
    """

    mean_rate: Figure | None
    spread: Figure | None
    flat_hang: Figure | None
    flat_amplitude: Figure | None
    hanging_amplitude: Figure | None
    beat_error: Figure | None


@dataclass(frozen=True, slots=True)
class Summary:
    """What one sitting comes to. `isochronism` is the rate after 24 h less that at full wind, over positions read at both."""

    full: State
    day: State
    isochronism: Figure | None


def with_lift(reading: Reading, lift_angle_deg: float | None) -> Reading:
    """The reading with a lift angle entered since: amplitudes are in proportion to it.

    Derived from simple harmonic motion: amplitude = lift / (2 sin(π f t)) with the time t to cross the lift angle, which
    is what was measured.
    """
    if not reading.lift_assumed or lift_angle_deg is None:
        return reading
    told = reading.amplitude_deg
    scaled = None if told is None else told * lift_angle_deg / reading.lift_angle_deg
    return replace(reading, amplitude_deg=scaled, lift_angle_deg=lift_angle_deg, lift_assumed=False)


def newest_sitting(readings: Iterable[Reading], occasion: Occasion | None = None) -> list[Reading]:
    """The readings of the newest sitting, of one occasion or whatever it was; those of a programme are none."""
    own = [each for each in readings if each.programme_day is None and occasion in {None, each.occasion}]
    if not own:
        return []
    newest = max(own, key=lambda each: each.at)
    return [each for each in own if newest.at - each.at <= SITTING and each.occasion == newest.occasion]


def summary(readings: Sequence[Reading]) -> Summary:
    """What the readings of one sitting come to."""
    full, day = (_at(readings, state) for state in get_args(WindState))
    return Summary(_state(full), _state(day), _isochronism(full, day))


def amplitude_full(readings: Iterable[Reading]) -> Figure | None:
    """Mean amplitude at full wind in the flat positions, of the newest sitting; None where there is none."""
    return _amplitude(_at(newest_sitting(readings), "full wind"), flat=True)


def amplitude_after_24h(readings: Iterable[Reading]) -> Figure | None:
    """The same after 24 h."""
    return _amplitude(_at(newest_sitting(readings), "after 24 h"), flat=True)


def low_after_24h(readings: Iterable[Reading], since: datetime | None) -> Figure | None:
    """The amplitude after 24 h, lying flat, where it speaks for a service: low in the newest sitting that read it.

    Only readings `since` the service count (None: all), from LEAST_READINGS on, and none with a lift angle assumed.
    """
    late = [each for each in readings if each.state == "after 24 h" and each.amplitude_deg is not None]
    found = amplitude_after_24h(each for each in late if each.position in FLAT and (since is None or each.at >= since))
    if found is None or found.assumed or found.readings < LEAST_READINGS:
        return None
    return found if found.value < LEAST_AFTER_24H_DEG else None


def doubts(reading: Reading) -> tuple[Doubt, ...]:
    """What of a reading can hardly be so, or wants to be looked at; none of it is refused."""
    vph, amplitude, beat = reading.vibrations_per_hour, reading.amplitude_deg, reading.beat_error_ms
    found: list[tuple[bool, Doubt]] = [
        (vph is not None and vph not in USUAL_VPH, "beat rate"),
        (not USUAL_LIFT_DEG[0] <= reading.lift_angle_deg <= USUAL_LIFT_DEG[1], "lift angle"),
        (amplitude is not None and amplitude < USUAL_AMPLITUDE_DEG[0], "low amplitude"),
        (amplitude is not None and amplitude > USUAL_AMPLITUDE_DEG[1], "knocking"),
        (beat is not None and abs(beat) > LARGE_BEAT_ERROR_MS, "beat error"),
    ]
    return (*(doubt for holds, doubt in found if holds), *_rate_doubt(reading))


def _rate_doubt(reading: Reading) -> tuple[Doubt, ...]:
    rate, vph = reading.rate_s_per_day, reading.vibrations_per_hour
    if rate is None or abs(rate) <= LARGE_RATE_S:
        return ()
    others = [(other / vph - 1.0) * SECONDS_A_DAY for other in USUAL_VPH if vph and other != vph]
    return ("wrong beat rate",) if any(abs(rate - each) <= NEAR_RATIO_S for each in others) else ("rate",)


def _at(readings: Iterable[Reading], state: WindState) -> list[Reading]:
    return [each for each in readings if each.state == state]


def _state(readings: Sequence[Reading]) -> State:
    rates = _rates(readings)
    flat, hanging = ([rates[each] for each in rates if (each in FLAT) == lying] for lying in (True, False))
    count = sum(each.rate_s_per_day is not None for each in readings)
    errors = [abs(each.beat_error_ms) for each in readings if each.beat_error_ms is not None]
    return State(
        mean_rate=Figure(_mean(list(rates.values())), count) if rates else None,
        spread=Figure(max(rates.values()) - min(rates.values()), count) if len(rates) >= LEAST_READINGS else None,
        flat_hang=Figure(_mean(flat) - _mean(hanging), count) if flat and hanging else None,
        flat_amplitude=_amplitude(readings, flat=True),
        hanging_amplitude=_amplitude(readings, flat=False),
        beat_error=Figure(max(errors), len(errors)) if errors else None,
    )


def _rates(readings: Iterable[Reading]) -> dict[Position, float]:
    """Mean rate of each position read, so that one read twice counts once."""
    told: dict[Position, list[float]] = {}
    for each in readings:
        if each.rate_s_per_day is not None:
            told.setdefault(each.position, []).append(each.rate_s_per_day)
    return {position: _mean(rates) for position, rates in told.items()}


def _amplitude(readings: Iterable[Reading], *, flat: bool) -> Figure | None:
    told = [each for each in readings if each.amplitude_deg is not None and (each.position in FLAT) == flat]
    if not told:
        return None
    degrees = [each.amplitude_deg for each in told if each.amplitude_deg is not None]
    return Figure(_mean(degrees), len(told), assumed=any(each.lift_assumed for each in told))


def _isochronism(full: Sequence[Reading], day: Sequence[Reading]) -> Figure | None:
    early, late = _rates(full), _rates(day)
    both = [position for position in early if position in late]
    if not both:
        return None
    return Figure(_mean([late[each] - early[each] for each in both]), 2 * len(both))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
