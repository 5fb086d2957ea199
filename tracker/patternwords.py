"""What a pattern shows, suggests, and what would settle it: in an owner's words and in a bench's.

What each suggests follows from the sums of spring and barrel and from the signs by which one part is told from another;
signs by feel are common practice, no source. The run-downs of a log alone can't tell a spring that has set from one that
slips early, nor either from friction: all shorten the run.
"""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from tracker import phrases, servicewords
from tracker.core.decline import Finding
from tracker.core.pattern import Gradual, NeverReached, Pattern, ShortFromWear, Sudden, Undecided
from tracker.core.samehour import SameHour
from tracker.core.scattergrown import ScatterGrown
from tracker.core.watch import Watch
from tracker.words import say, written


@dataclass(frozen=True, slots=True)
class Told:
    """A pattern in sentences: what is seen, what that suggests, what settles it."""

    seen: str
    suggests: str
    settles: str


def told(pattern: Pattern, watch: Watch, finding: Finding, zone: ZoneInfo, *, bench: bool) -> Told:
    """One pattern of a watch, for its owner or for the bench."""
    kind = type(pattern)
    settles = BENCH[kind] if bench else OWNER[kind]
    return Told(_seen(pattern, finding, zone), _suggests(kind, watch), say(settles, **_names(watch)))


def look(finding: Finding) -> str:
    """The one look that would tell more, for the first line; empty where nothing is known of how it fell."""
    return say(LOOK[type(finding.patterns[0])]) if finding.patterns else say("a run-down watched to its end")


def _names(watch: Watch) -> dict[str, str]:
    return {
        "hold": say("the bridle") if watch.by_rotor else say("the outer hooking"),
        "slips": say("a bridle that slips early") if watch.by_rotor else say("an outer hooking that lets go"),
        "to_full": say("to the slip") if watch.by_rotor else say("to full"),
        "key": say("the key's half-turns") if watch.wound_by == "key" else say("the crown's turns"),
    }


def _suggests(kind: type[Pattern], watch: Watch) -> str:
    if watch.wound_by == "weights" and kind in WEIGHTS:
        return say(WEIGHTS[kind])
    return say(SUGGESTS[kind], **_names(watch))


def _seen(pattern: Pattern, finding: Finding, zone: ZoneInfo) -> str:
    match pattern:
        case Gradual() | Sudden() | Undecided():
            return _way(pattern, finding, zone)
        case NeverReached():
            return _never_reached(pattern)
        case ScatterGrown():
            return _scatter(pattern)
        case SameHour():
            return _same_hour(pattern)
        case ShortFromWear():
            return say(
                "From wear it runs {wear}, from the crown {crown} ({chance}).",
                wear=phrases.span(pattern.wear_h.low, pattern.wear_h.high),
                crown=phrases.span(pattern.crown_h.low, pattern.crown_h.high),
                chance=_likely(pattern.probability),
            )


def _way(pattern: Gradual | Sudden | Undecided, finding: Finding, zone: ZoneInfo) -> str:
    if isinstance(pattern, Gradual):
        return _gradual(pattern)
    if isinstance(pattern, Sudden) and finding.sudden_at is not None:
        when = servicewords.between(finding.sudden_at, zone)
        return say("It fell at once, {when} ({chance}).", when=when, chance=_likely(pattern.probability))
    return say(
        "It fell; whether at once or little by little its runs leave open ({chance} for at once).",
        chance=phrases.chance(pattern.probability),
    )


def _scatter(pattern: ScatterGrown) -> str:
    return say(
        "Its runs differ more than they did: by about {later} where it was {earlier} ({n} stops; {odds} by chance).",
        later=servicewords.percent(pattern.later),
        earlier=servicewords.percent(pattern.earlier),
        n=pattern.stops,
        odds=_odds(pattern.by_chance),
    )


def _same_hour(pattern: SameHour) -> str:
    return say(
        "{count} of the {of} stops whose hands were read lie between {low} and {high} on the dial ({odds} by chance).",
        count=pattern.count,
        of=pattern.of,
        low=_on_dial(pattern.from_min),
        high=_on_dial(pattern.to_min),
        odds=_odds(pattern.by_chance),
    )


def _gradual(pattern: Gradual) -> str:
    low, mid, high = sorted(
        -100 * slope for slope in (pattern.per_year.low, pattern.per_year.mid, pattern.per_year.high)
    )
    return say(
        "It fell little by little, by about {mid} % a year ({low} to {high} %; {chance}).",
        mid=round(mid),
        low=max(0, round(low)),
        high=round(high),
        chance=_likely(pattern.probability),
    )


def _never_reached(pattern: NeverReached) -> str:
    after = phrases.span(pattern.baseline_h.low, pattern.baseline_h.high)
    reference = phrases.length(pattern.reference_h)
    sentence = (
        "After its service itself it ran {after}, below the maker's {reference} ({chance})."
        if pattern.reference == "stated"
        else "After its service itself it ran {after}, less than the {reference} it ran before that service ({chance})."
    )
    return say(sentence, after=after, reference=reference, chance=_likely(pattern.probability))


def _likely(probability: float) -> str:
    return say("{chance} likely", chance=phrases.chance(probability))


def _odds(by_chance: float) -> str:
    if by_chance <= 1e-6:  # noqa: PLR2004 -- no one can tell the difference
        return say("next to never")
    return say("at most one in {n}", n=written(max(1, int(1 / by_chance)), ","))


def _on_dial(minutes: int) -> str:
    """A place on the dial: hours and minutes, twelve standing for none on a dial of twelve hours."""
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


LOOK: dict[type[Pattern], str] = {
    Gradual: "a look at its turns",
    Sudden: "a look at its turns",
    Undecided: "a run-down watched to its end",
    NeverReached: "a look at its turns",
    ScatterGrown: "a few windings by counted turns",
    SameHour: "its hands at the next stop",
    ShortFromWear: "a run-down from the crown",
}
"""What would tell more, as the first line says it."""

SUGGESTS: dict[type[Pattern], str] = {
    Gradual: "This is how oil that thickens shows, and a spring that sets. The log alone can't tell them apart, nor either from {slips}.",
    Sudden: "This is how {slips} shows, or a broken coil, or a winding that slips; oil that ages and a spring that sets come "
    "slowly. "
    "The log alone can't tell which.",
    Undecided: "Oil that thickens and a spring that sets come slowly; {slips} or a broken coil comes at once.",
    NeverReached: "The shortfall was there from the start: {slips}, a spring of another strength, a train not free; "
    "or a figure that was generous.",
    ScatterGrown: "This is how windings that stop short of full show, or a winding that slips, or a train that is loaded now "
    "and then.",
    SameHour: "Something loads the train at that hour, a calendar at its change as a rule.",
    ShortFromWear: "Spring and train are as they were; the automatic work winds too little, or it is worn too little.",
}
"""What a pattern suggests (likelihoods, not verdicts)."""

WEIGHTS: dict[type[Pattern], str] = {
    Gradual: "This is how oil that thickens shows; with weights there is no spring to tire.",
    Sudden: "With weights there is no spring: a line that rides over, a weight that touches, or a train that binds.",
    Undecided: "With weights there is no spring: oil that thickens comes slowly, a line or a weight that catches at once.",
    NeverReached: "The shortfall was there from the start: lines of another length, a train not free, or a generous figure.",
}
"""The same for what weights drive."""

OWNER: dict[type[Pattern], str] = {
    Gradual: "Worth noting: {key} from stopped to full, next time. Ask a watchmaker whether its amplitude is low as well, at "
    "full wind and after 24 h: only then is it time to open it.",
    Sudden: "Think back: was it dropped, wet, or serviced about then? Count {key} from stopped to full: fewer than before "
    "points inside, more or no end to crown and winding. Tell a watchmaker that date.",
    Undecided: "Let it run out once, wound full, and note when it stops.",
    NeverReached: "Ask who serviced it whether the mainspring was changed, and for which: soon after a service is the time to ask.",
    ScatterGrown: "Wind it some five times by the same counted number of turns, from stopped: if it then differs less, "
    "the windings differed, not the watch.",
    SameHour: "Read the hands at the next stops, too. Ask a watchmaker to look at the calendar work before the spring.",
    ShortFromWear: "Give it its full number of crown turns and let it run out once: if that is as long as ever, wear it more, or "
    "ask for a look at the automatic work, not at the spring.",
}
"""What settles it, and what to ask a watchmaker."""

BENCH: dict[type[Pattern], str] = {
    Gradual: "Turns left at the stop. The same as ever points to {hold}; more, to the spring or the train. Then torque by "
    "gauge at equal turns left: lower, the spring has set; the same with a lower amplitude, friction in the train.",
    Sudden: "Turns from let down {to_full}. Fewer points to {hold}; more or no end, to crown and winding; the same, to "
    "the spring or the train: see the coils.",
    Undecided: "A run-down with looks planned near its end, and turns left at the stop.",
    NeverReached: "Turns from let down {to_full} (fewer: {hold}); then height × thickness × length of the spring against "
    "its barrel; amplitude at full wind.",
    ScatterGrown: "Turns from let down {to_full}, several times. More, or no end: crown and winding. Alike each time: the "
    "train, in several positions.",
    SameHour: "A run-down with the calendar work disengaged, and the amplitude through the hours of its change.",
    ShortFromWear: "Rotor, reversers and their turns per barrel turn both ways, before the barrel is opened.",
}
"""What to look at next on the bench."""
