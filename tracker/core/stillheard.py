"""A history read a while ago, and a sensor that has heard the watch going ever since: no need to read it all anew."""

from dataclasses import replace
from datetime import timedelta

from tracker.core.heard import Spell
from tracker.core.rundown import History

_HOUR = timedelta(hours=1)


def still_heard(history: History, spell: Spell) -> History:
    """The same history with this spell as long as it is by now, if it was the last that told of the watch."""
    last = history.last
    told_by_it = last.state == "going" and last.uid is not None and last.uid.startswith(f"{spell.sensor_uid}@")
    if last.since is None or not told_by_it or not spell.start <= last.since < spell.end:
        return history
    run, last = history.current, replace(last, since=spell.end)
    if run is None or not run.heard_on:
        return replace(history, last=last)
    heard_h = max(run.seen_going_h, (spell.end - run.started_to) / _HOUR)
    return replace(history, last=last, current=replace(run, seen_going_h=heard_h, last_seen_at=spell.end))
