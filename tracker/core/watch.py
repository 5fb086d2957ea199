"""A watch as the register knows it, and the closed sets of words that describe one."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

WoundBy = Literal["crown", "crown and rotor", "rotor only", "key", "weights"]
ReserveClass = Literal["a day or two", "three days", "eight days", "a month"]
Indicator = Literal["none", "fraction", "hours"]
DialHours = Literal[12, 24]
Habit = Literal["when worn", "keep going", "on weekdays", "every n days", "at rest"]
Stake = Literal["time only", "date", "calendar"]
Reach = Literal["at hand", "only at", "out of reach"]
WinderWay = Literal["clockwise", "anticlockwise", "both"]
Weekday = Literal["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]

CLASS_RESERVE_H: dict[ReserveClass, float] = {
    "a day or two": 42.0,
    "three days": 72.0,
    "eight days": 192.0,
    "a month": 744.0,
}
"""Hours that stand for each class where the maker states no figure (from memory; common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """One watch or clock of the register.

    Hours are hours; `least_reserve_h` is the going time under which its owner would have it seen to. `looks_offered`:
    whether its owner would let it stop for a look that tells much. Of a watch with a rotor the owner may know:
    `winder_turns_a_day`, the turns of a winder a day that keep it going, in the directions that wind it (`winder_way`);
    `winder_pause_h`, the longest pause of its winder's programme; `wear_fills_h`, the hours of wear that wind it from
    stopped to full. None: not known. A customer's watch has a `job_number`; it `came_in`, is `promised_for`, `went_out` on
    these days. Its owner's rule for this watch alone: a service every so many years, or on a day. `value` and `serial` are for the owner's eyes only
    and left out of exports unless asked. `version` counts the edits of this row; an edit names the version it saw.
    """

    uid: str
    nickname: str
    wound_by: WoundBy = "crown"
    crown_turns_to_full: float | None = None
    stated_reserve_h: float | None = None
    reserve_class: ReserveClass | None = None
    least_reserve_h: float | None = None
    indicator: Indicator = "none"
    dial_hours: DialHours = 12
    date_window: bool = False
    setting_details: str = ""
    habit: Habit = "when worn"
    habit_weekdays: tuple[Weekday, ...] = ()
    habit_every_days: int | None = None
    stake: Stake = "time only"
    place: str = ""
    reach: Reach = "at hand"
    belongs_to: str = ""
    job_number: str = ""
    came_in: date | None = None
    promised_for: date | None = None
    went_out: date | None = None
    service_every_years: float | None = None
    lift_angle_deg: float | None = None
    service_due_on: date | None = None
    calibre: str = ""
    vibrations_per_hour: int | None = None
    other_springs: str = ""
    screw_down_crown: bool = False
    looks_offered: bool = False
    winder_turns_a_day: float | None = None
    winder_way: WinderWay | None = None
    winder_pause_h: float | None = None
    wear_fills_h: float | None = None
    note: str = ""
    value: str = ""
    serial: str = ""
    added_at: datetime | None = None
    archived_at: datetime | None = None
    version: int = 1

    @property
    def by_rotor(self) -> bool:
        """Whether the watch winds itself when worn."""
        return self.wound_by in {"crown and rotor", "rotor only"}

    @property
    def customers(self) -> bool:
        """Whether it is a customer's watch: out of rounds, board and reminders, also once it went out."""
        return bool(self.job_number)

    @property
    def gone_out(self) -> bool:
        """Whether it was handed back to its customer."""
        return self.customers and self.went_out is not None

    @property
    def kept(self) -> bool:
        """Whether the owner means to keep it going and can reach it: only such a watch has a wind-by that reminds."""
        return (
            self.habit == "keep going"
            and self.archived_at is None
            and self.reach != "out of reach"
            and not self.customers
        )
