"""Service cues brought up to date: raised, moved and cleared by the estimates just kept, and their reminders with them."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from tracker.asked import threshold_of
from tracker.commands.settings import Settings
from tracker.core.cue import Cue, next_cue
from tracker.core.decline import Finding, find, reason
from tracker.core.reserve import MODEL_VERSION
from tracker.core.servicerule import Rule, rule_of
from tracker.core.timing import low_after_24h
from tracker.core.watch import Watch
from tracker.figures import Figures
from tracker.reminders.cuefacts import CueFacts
from tracker.reminders.cueplan import CueToTell
from tracker.reminders.outbox import replan_cues
from tracker.store import cues as rows
from tracker.store import register
from tracker.store.cues import OpenCue


def finding(each: Figures, settings: Settings, now: datetime) -> Finding:
    """What is to be said of the decline of a watch."""
    low = low_after_24h(each.readings, each.segment.since if each.segment.serviced else None)
    return find(each.segment, each.estimate, each.signs, rule(each, settings), now, low_amplitude=low)


def rule(each: Figures, settings: Settings) -> Rule:
    """The owner's rule for its next service."""
    serviced_at = each.segment.since if each.segment.serviced else None
    return rule_of(each.watch, settings.service_interval_years, serviced_at, ZoneInfo(settings.zone))


def judge(db: Database, figures: Sequence[Figures], settings: Settings, now: datetime) -> None:
    """Let the cues of these watches follow their estimates, inside the change that keeps those.

    Judged again on the same evidence nothing changes. A watch that is put away is not judged.
    """
    judged = [each for each in figures if each.watch.archived_at is None]
    before = rows.open_cues(db, [each.watch.uid for each in judged])
    facts = {}
    for each in judged:
        found = finding(each, settings, now)
        held = _judge_one(db, each.watch, before.get(each.watch.uid), found, settings=settings, now=now)
        if held is not None:
            facts[each.watch.uid] = facts_of(each.watch, found, held.cue, settings, now)
    retell(db, [each.watch.uid for each in figures], now, facts)


def _judge_one(
    db: Database, watch: Watch, held: OpenCue | None, found: Finding, *, settings: Settings, now: datetime
) -> OpenCue | None:
    """The cue of a watch that holds after all that had to happen to the one `held` before has happened."""
    while (turn := next_cue(held.cue if held else None, found.grounds)) is not None:
        facts = facts_of(watch, found, turn.cue, settings, now).to_dict() if turn.cue else {}
        rows.write_turn(db, watch.uid, held, turn, now=now, facts=facts)
        held = rows.open_cues(db, [watch.uid]).get(watch.uid)
    return held


def facts_of(watch: Watch, found: Finding, cue: Cue, settings: Settings, now: datetime) -> CueFacts:
    """What a cue of this watch is said from."""
    advised = cue.step == "service advised"
    return CueFacts(
        nickname=watch.nickname,
        step=cue.step,
        reason=reason(found, cue.step),
        probability=found.grounds.advised if advised else found.grounds.keep,
        lost=found.lost,
        stops=found.stops,
        going=found.going,
        since=found.since or now,
        serviced=found.serviced,
        threshold=threshold_of(settings),
        least_h=watch.least_reserve_h,
        interval_years=found.rule.interval_years,
        low_amplitude_deg=found.low_amplitude.value if found.low_amplitude else None,
        amplitude_readings=found.low_amplitude.readings if found.low_amplitude else 0,
        model=str(MODEL_VERSION),
    )


def retell(db: Database, watch_uids: Iterable[str], now: datetime, facts: Mapping[str, CueFacts] | None = None) -> None:
    """Bring the reminders of the cues of these watches to what holds; `facts` by watch where they are known anew.

    A customer's watch, and one put away or gone, is not spoken of.
    """
    asked = sorted(watch_uids)
    told = {}
    for uid, held in rows.open_cues(db, asked).items():
        watch = register.watch(db, uid)
        if watch is not None and watch.archived_at is None and not watch.customers:
            said = (facts or {}).get(uid) or CueFacts.from_dict(held.facts)
            told[uid] = CueToTell(uid, held.uid, held.ordinal, held.cue.quiet_until, said)
    replan_cues(db, asked, told, now)
