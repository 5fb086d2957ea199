"""What makes up the part a watch plays: the spring nobody sees, how it is kept, how it is logged, how it stands today."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from tracker.commands.register import WatchFields

Act = Literal[
    "wind", "part wind", "unsure wind", "wind on the wrist", "look", "put on", "lay down", "hand in", "service"
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mended:
    """A service: days before today, what was done, and the median reserve in hours just after.

    `parts` are lines such as `mainspring: 1.3 × 0.115 × 350 > 1.3 × 0.11 × 360`; `pictured` if a made picture goes with it.
    """

    days_ago: int
    work_done: str
    reserve_h: float
    occasion: str = ""
    parts: tuple[str, ...] = ()
    lubricants: str = ""
    cost: str = ""
    pictured: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A customer's watch: so many days ago it came in, and it is promised in so many."""

    came_in_days_ago: int
    promised_in_days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Intent:
    """What the keeper goes to do at a moment; `sure` if it is done and noted without any slip."""

    at: datetime
    act: Act
    sure: bool = False
    mended: Mended | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spring:
    """The truth of a watch.

    `reserve_h` is the median run-down time in hours on the first day, or after the latest service; its logarithm
    changes by `per_year`, and by `drop` from `drop_days_ago` on; single runs scatter by `scatter` (of the logarithm).
    """

    reserve_h: float
    per_year: float = -0.01
    scatter: float = 0.03
    drop: float = 0.0
    drop_days_ago: int = 0
    services: tuple[Mended, ...] = ()
    rate_s_per_day: float = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """Wound every so many days, or on one weekday (0 is Monday), at about `at_min` minutes after midnight.

    Chances: `skips` a winding is left for the next day; `looks` it is looked at of an evening; `worn` it is put on
    after the winding; `part`, `unsure` the winding is not a full one.
    """

    every_days: int = 1
    weekday: int | None = None
    at_min: int = 7 * 60 + 15
    spread_min: int = 20
    skips: float = 0.0
    looks: float = 0.0
    worn: float = 0.0
    part: float = 0.0
    unsure: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spells:
    """Taken out for some `days`, then left for `gap_days` and looked at some of the days after; ranges of days.

    `winds` says on which days of a spell it is wound by hand, `worn` whether it is worn on them.
    """

    gap_days: tuple[int, int]
    days: tuple[int, int]
    winds: Literal["each", "last", "never"] = "each"
    worn: bool = True
    looks_after: tuple[int, int] = (1, 3)
    at_min: int = 7 * 60 + 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One of the acts that bring the watch to where it stands today: between so many hours ago, by day if it can be."""

    act: Act
    hours_ago: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeper:
    """How the log is kept.

    Chances: `notices` the state found is noted; `reads` the hands of a stopped watch are read; `unnoted` a winding is
    never noted; `late` a note is made late. `away` if the watch stays behind when its keeper leaves.
    """

    notices: float = 0.93
    reads: float = 0.5
    unnoted: float = 0.0
    late: float = 0.06
    away: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """A watch of the collection and its life.

    `winder_turns_a_day` are those of the winder it lies on whenever it is not worn, noted by hand; None: it lies still.
    """

    fields: WatchFields
    spring: Spring
    routine: Steady | Spells | None = None
    ending: tuple[Scene, ...] = ()
    keeper: Keeper = field(default_factory=Keeper)
    winder_turns_a_day: float | None = None
    job: Job | None = None
