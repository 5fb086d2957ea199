"""Answers as values: what a read tells, and the shape that the document gives of it."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, TypeAdapter

from tracker.core.cue import Step
from tracker.core.heard import Question
from tracker.core.spread import Band
from tracker.core.standing import StandingWord
from tracker.core.watch import Watch
from tracker.figures import Figures, Waiting
from tracker.planning import Planned

Worked = Literal["as of the log", "being worked out anew", "being worked out", "could not be worked out"]

FOR_HELPERS = (
    "uid", "nickname", "wound_by", "indicator", "dial_hours", "date_window", "screw_down_crown", "place", "archived_at",
    "version",
)  # fmt: skip
"""What a helper is told of the register: what it takes to find and wind a watch."""

_REGISTER = TypeAdapter(Watch)


class Answer(BaseModel):
    """What all answers have in common: no field beside those told."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class Hours(Answer):
    """Hours: the 5, 50 and 95 % points."""

    low: float
    mid: float
    high: float


class Standing(Answer):
    """How a watch stands at this moment."""

    uid: str
    nickname: str
    place: str
    version: int
    """Of its entry in the register: the number in its ETag."""
    worked_out: Worked
    """Whether figures take in the whole log; without any, those below are null."""
    state: StandingWord | None
    look: bool
    """No full wind is known, so that there is no wind-by: somebody should look at it."""
    wind_by: datetime | None
    """By when to wind it, at the risk its owner accepts; null where nothing is to be wound or too little is known."""
    hours_left: Hours | None
    """From now to the wind-by, to the median and to the 95 % point of the stop."""
    chance_going: float | None
    """That it still goes."""
    under_test: bool
    """It is to run down for a test: nobody is to wind it."""
    reserve_h: Hours | None
    """Going time from a full wind, at its present age."""
    baseline_h: Hours | None
    """The same just after its service."""
    evidence: dict[str, int]
    """Run-downs that tell of it, by what is known of them."""
    left_out: int
    """Run-downs that tell nothing."""


class Questions(Answer):
    """What sensors left open of a watch, oldest first; AnswerSensor answers with `sensor_uid` and `since` as its `at`."""

    items: list[Question]


class Named(Answer):
    """A watch in a list."""

    uid: str
    nickname: str
    place: str
    state: StandingWord | None
    wind_by: datetime | None


class Round(Answer):
    """What to wind now."""

    at: datetime | None
    """The round this is for: the one held now, or the next; null where the owner has none."""
    to_wind: list[Named]
    to_look_at: list[Named]
    left_to_run: list[Named]
    """Not to be wound before a look that tells much."""
    next_at: datetime | None
    """The next wind-by or look after those."""


class Winding(Answer):
    """A watch in a round of the plan."""

    uid: str
    nickname: str
    margin_h: float | None
    """Hours from this round to the wind-by; null where it has stopped by then."""
    chosen: bool
    """A person chose this round."""


class Held(Answer):
    """One round of the plan."""

    at: datetime
    wind: list[Winding]


class TooLate(Answer):
    """A watch whose wind-by no round meets."""

    uid: str
    nickname: str
    wind_by: datetime
    wound_at: datetime
    """The next round, or the end of the plan."""


class Plan(Answer):
    """The rounds of the coming fortnight."""

    until: datetime
    rounds: list[Held]
    windings: int
    late: list[TooLate]
    cannot: list[str]
    """Uids of watches that these rounds can't keep going."""
    to_look_at: list[str]
    """Uids of watches without a wind-by: no full wind is known."""


class Seen(Answer):
    """What a decline is read from."""

    enough: bool
    stops: int
    at_most: int
    at_least: int
    low_amplitude_deg: float | None


class Chances(Answer):
    """How likely the reserve has fallen by the threshold, by twice that, below the owner's least."""

    once: float
    twice: float
    below_least: float | None


class Foretold(Answer):
    """When something is reached, and how likely at all."""

    chance: float
    low: str
    mid: str | None
    high: str | None


class NextDue(Answer):
    """When the next service is due, and by which rule or forecast."""

    by: str
    low: str
    at: str | None
    high: str | None


class BandOf(Answer):
    """Low, middle and high: the 5, 50 and 95 % points."""

    low: float
    mid: float
    high: float


class Service(Answer):
    """Whether a watch wants a service, and what that stands on. Shares are parts of one, years those since the service."""

    uid: str
    watch: str
    found: str
    step: Step | None
    quiet_until: str | None
    evidence: Seen
    lost: BandOf
    probability: Chances
    sudden_probability: float
    threshold_reached: Foretold | None
    least_reached: Foretold | None
    years: float
    serviced: bool
    due_at: str | None
    next_due: NextDue | None
    patterns: list[str]


class Channel(Answer):
    """A way by which reminders go; its address is told to nobody."""

    uid: str
    name: str
    paused: bool
    version: int


class Done(Answer):
    """A command that was applied. Asked again under the same key, the same is answered and nothing is applied."""

    uid: str
    """The key; for what registers, notes or adds something, the uid of that."""
    batch: str
    """What Undo takes back as a whole."""
    command: str
    with_it: list[str]
    """The commands that followed from it."""


class KeptFile(Answer):
    """A file that lies there now; these are fields of the command that attaches it."""

    sha256: str
    media_type: str
    size_bytes: int


class KeptPortrait(Answer):
    """A photograph of a watch that lies there now, in two sizes; these are fields of AddPortrait."""

    sha256: str
    small_sha256: str
    size_bytes: int


class KeptAddress(Answer):
    """An address that lies there now; this is a field of AddChannel."""

    address_uid: str


def register(watch: Watch, *, for_owner: bool) -> dict[str, Any]:
    """What the register says of a watch; to a helper, no more than it takes to wind it."""
    told: dict[str, Any] = _REGISTER.dump_python(watch, mode="json")
    return told if for_owner else {name: told[name] for name in FOR_HELPERS}


def standing(found: Figures | Waiting) -> Standing:
    """How a watch stands."""
    watch = found.watch
    named = {"uid": watch.uid, "nickname": watch.nickname, "place": watch.place, "version": watch.version}
    if isinstance(found, Waiting):
        worked: Worked = "could not be worked out" if found.failed else "being worked out"
        return Standing.model_validate(named | _NOTHING | {"worked_out": worked})
    now, of_runs, under_test = found.standing, found.estimate, found.test is not None
    return Standing(
        **named,  # type: ignore[arg-type]  # texts, and a number as the version
        worked_out="being worked out anew" if found.behind else "as of the log",
        state=now.word,
        look=now.look,
        wind_by=None if under_test else _second(now.wind_by),
        hours_left=_hours(now.left_h),
        chance_going=round(now.chance_going, 4),
        under_test=under_test,
        reserve_h=_hours(of_runs.reserve_h),
        baseline_h=_hours(of_runs.baseline_h),
        evidence=dict(of_runs.evidence),
        left_out=of_runs.left_out,
    )


_NOTHING = dict.fromkeys(("state", "wind_by", "hours_left", "chance_going", "reserve_h", "baseline_h")) | {
    "look": False, "under_test": False, "evidence": {}, "left_out": 0,
}  # fmt: skip


def named(each: Figures) -> Named:
    """A watch in a list."""
    by = None if each.test is not None else _second(each.standing.wind_by)
    watch = each.watch
    return Named(uid=watch.uid, nickname=watch.nickname, place=watch.place, state=each.standing.word, wind_by=by)


def plan(found: Planned, nicknames: Mapping[str, str]) -> Plan:
    """The plan, its watches by uid."""
    margins, chosen = found.all_margins, found.chosen
    return Plan(
        until=found.end.replace(microsecond=0),
        rounds=[
            Held(
                at=each.at.replace(microsecond=0),
                wind=[
                    Winding(
                        uid=uid,
                        nickname=nicknames[uid],
                        margin_h=None
                        if (margin := margins[uid][each.at]) is None
                        else _rounded(margin.total_seconds() / 3600),
                        chosen=chosen.get(uid) == each.at,
                    )
                    for uid in each.wind
                ],
            )
            for each in found.plan.rounds
        ],
        windings=found.plan.windings,
        late=[
            TooLate(
                uid=each.name,
                nickname=nicknames[each.name],
                wind_by=(each.missed + found.slack).replace(microsecond=0),
                wound_at=each.until.replace(microsecond=0),
            )
            for each in found.plan.late
        ],
        cannot=list(found.plan.cannot),
        to_look_at=list(found.to_look_at),
    )


def kinds_beside(rows: Iterable[Mapping[str, Any]], uid: str) -> list[str]:
    """What followed from a command: the kinds of the other rows of its batch, in order."""
    return [str(row["kind"]) for row in rows if row["uid"] != uid]


def _hours(band: Band | None) -> Hours | None:
    return None if band is None else Hours(low=_rounded(band.low), mid=_rounded(band.mid), high=_rounded(band.high))


def _rounded(hours: float) -> float:
    return round(hours, 2)


def _second(moment: datetime | None) -> datetime | None:
    return None if moment is None else moment.replace(microsecond=0)
