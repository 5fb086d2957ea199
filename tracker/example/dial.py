"""What the hands of a watch show, right or wrong, going or stopped."""

from dataclasses import dataclass
from datetime import datetime, timedelta

A_DAY_S = 86_400
ON_A_DIAL = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Dial:
    """The hands stood at `shows` (a wall time, date and all) at `since` and went on from there at the watch's own rate.

    `dated_on` is the date to which the date window was last set, None if it was not.
    """

    since: datetime
    shows: datetime
    rate_s_per_day: float
    dated_on: datetime | None = None

    def at(self, moment: datetime, stops_at: datetime) -> datetime:
        """What they stand at, having stopped at `stops_at`."""
        gone = max(min(moment, stops_at) - self.since, timedelta(0))
        return self.shows + gone * (1 + self.rate_s_per_day / A_DAY_S)

    def day(self, moment: datetime, stops_at: datetime) -> int | None:
        """The date in the window, as long as no end of a month has made it doubtful."""
        shows = self.at(moment, stops_at)
        if self.dated_on is None or (shows.year, shows.month) != (self.dated_on.year, self.dated_on.month):
            return None
        return shows.day


def as_read(shows: datetime, off_min: int) -> str:
    """The hands as somebody reads them, a minute or so off: `4:37`."""
    read = shows + timedelta(minutes=off_min)
    return f"{read.hour % ON_A_DIAL or ON_A_DIAL}:{read.minute:02d}"
