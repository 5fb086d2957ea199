"""Logs as small texts: one note a line, in the wall time of one zone.

    2026-03-02 08:00       wound, was going, set now
    2026-03-03 19:30 ±20   seen going
    2026-03-04 07:00       stopped, showing 4:37 on 3

A note's uid is the number of its line, from 1.
"""

import re
from datetime import UTC, datetime
from typing import cast
from zoneinfo import ZoneInfo

from tracker.core.evidence import Evidence
from tracker.core.rundown import History, run_downs
from tracker.core.timeline import (
    Amount,
    Entry,
    Found,
    Hands,
    OnWinder,
    Seen,
    Service,
    Shown,
    Sighting,
    Wear,
    WearAct,
    Wind,
    WinderAct,
)
from tracker.core.watch import Watch, WoundBy

LINE = re.compile(r"(\d{4}-\d\d-\d\d \d\d:\d\d)(?: ±(\d+))?\s+(.+)")
FOUND: dict[str, Found] = {"was going": "going", "had stopped": "stopped"}
AMOUNT: dict[str, Amount] = {"wound": "full", "part wound": "part", "unsure wound": "unsure"}
SEEN: dict[str, Seen] = {
    "seen going": "going",
    "stopped": "stopped",
    "stopped on purpose": "stopped on purpose",
    "reading": "not noticed",
}


def log(text: str, zone: str = "UTC") -> list[Entry]:
    lines = [line.strip() for line in text.strip().splitlines()]
    return [_entry(str(number), line, zone) for number, line in enumerate(lines, 1)]


def read(text: str, zone: str = "UTC", wound_by: WoundBy = "crown") -> History:
    return run_downs(Watch(uid="w", nickname="Night ferry", wound_by=wound_by), log(text, zone))


def evidence(text: str, zone: str = "UTC", wound_by: WoundBy = "crown") -> list[str]:
    return [told(run.evidence) for run in read(text, zone, wound_by).runs]


def told(evidence: Evidence) -> str:
    """As `one_of 20–20.5 or 32–32.5`; at most three places."""
    spans = [f"{low:.6g}–{high:.6g}" for low, high in evidence.spans_h]
    return f"{evidence.kind} {' or '.join(spans)}".strip()


def _entry(uid: str, line: str, zone: str) -> Entry:
    match = LINE.fullmatch(line)
    assert match, line
    at = datetime.fromisoformat(match[1]).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    within_min = float(match[2] or 0)
    act, *more = match[3].split(", ")
    if act in AMOUNT:
        found = next((FOUND[word] for word in more if word in FOUND), "not noticed")
        hands = next((word for word in more if word in {"set now", "left", "not set"}), "unknown")
        return Wind(
            uid=uid,
            at=at,
            zone=zone,
            within_min=within_min,
            amount=AMOUNT[act],
            found=cast("Found", found),
            hands=cast("Hands", hands),
            date_set="date set" in more,
            shown=_shown(more),
            side_spring_used="side spring" in more,
        )
    if act in SEEN:
        return Sighting(
            uid=uid,
            at=at,
            zone=zone,
            within_min=within_min,
            seen=SEEN[act],
            shown=_shown(more),
            indicator_reading=next((float(word[10:]) for word in more if word.startswith("indicator ")), None),
            side_spring_used="side spring" in more,
        )
    if act in {"put on", "laid down"}:
        return Wear(uid=uid, at=at, zone=zone, within_min=within_min, act=cast("WearAct", act))
    if act in {"on the winder", "off the winder"}:
        turns = float(more[0]) if more else None
        winder_act: WinderAct = "on" if act == "on the winder" else "off"
        return OnWinder(uid=uid, at=at, zone=zone, within_min=within_min, act=winder_act, turns_a_day=turns)
    assert act == "service", line
    return Service(uid=uid, at=at, zone=zone, within_min=within_min)


def _shown(words: list[str]) -> Shown | None:
    for word in words:
        if word.startswith("showing "):
            clock, _, date = word.removeprefix("showing ").partition(" on ")
            hour, minute = clock.split(":")
            return Shown(minutes=int(hour) * 60 + int(minute), date=int(date) if date else None)
    return None
