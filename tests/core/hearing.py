"""What a sensor heard as a small text: one spell a line, in UTC, and what ended it.

    2026-03-02 08:05 – 2026-03-04 02:12  stopped
    2026-03-04 07:31 – 2026-03-05 20:00  lost
    2026-03-05 21:00 – 2026-03-06 01:00  lost, stopped 2026-03-06 05:00

*stopped*: silent a minute later; *lost*: nothing came any more; the last: nothing came, then it was silent.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from tests.core.notes import log
from tracker.core.heard import Answered, AnswerWord, Halt, Heard, Spell
from tracker.core.likelihood import Run
from tracker.core.rundown import History, run_downs
from tracker.core.sensed import Sensed, sensed
from tracker.core.watch import Watch

LINE = re.compile(r"(.{16}) – (.{16})  (stopped|lost)(?:, stopped (.{16}))?")
WATCH = Watch(uid="w", nickname="Night ferry", stated_reserve_h=40.0)
EARLIEST_H = 34.0


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


def heard(text: str, *answers: Answered, laid: Sequence[str] = ()) -> Heard:
    spells, halts = [], []
    for line in text.strip().splitlines():
        match = LINE.fullmatch(line.strip())
        assert match, line
        spell = Spell(sensor_uid="tray", start=moment(match[1]), end=moment(match[2]))
        spells.append(spell)
        if match[3] == "stopped":
            halts.append(Halt(sensor_uid="tray", after=spell.end, before=spell.end + timedelta(minutes=1)))
        elif match[4]:
            halts.append(Halt(sensor_uid="tray", after=spell.end, before=moment(match[4])))
    return Heard(spells=tuple(spells), halts=tuple(halts), laid=tuple(map(moment, laid)), answers=answers)


def answered(word: AnswerWord, at: str, entry_uid: str | None = None) -> Answered:
    return Answered(sensor_uid="tray", at=moment(at), word=word, entry_uid=entry_uid)


def at_34_h(runs: tuple[Run, ...], age_years: float) -> float:  # noqa: ARG001 -- whatever was before
    return EARLIEST_H


def told(notes: str, what: Heard, watch: Watch = WATCH) -> Sensed:
    return sensed(watch, log(notes) if notes.strip() else [], what, at_34_h)


def history(notes: str, what: Heard, watch: Watch = WATCH) -> History:
    return run_downs(watch, told(notes, what, watch).notes)
