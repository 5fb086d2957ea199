"""What the Barrel page shows: what was typed, what it comes to, and what is said of it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from werkzeug.datastructures import MultiDict

from tracker import barrelwords, phrases
from tracker.commands.barrel import FIELD_NAMES, BarrelFields
from tracker.commands.build import build
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.kept import Kept, fitted_of, hours_of, missing
from tracker.core.barrel.line import strip_of
from tracker.core.lengths import NoLength, length_of
from tracker.core.reserve import Band
from tracker.core.watch import Watch
from tracker.errors import BadInput, Rejected
from tracker.uids import uid_of
from tracker.web import barrelways
from tracker.web.barrelways import Way
from tracker.web.forms import Form, by_field, opened_with
from tracker.words import say, written

LENGTHS = ("drum_diameter_mm", "arbor_diameter_mm", "thickness_mm", "height_mm", "length_mm")
TRIED: Mapping[str, str] = {
    "drum_diameter_mm": "11",
    "arbor_diameter_mm": "3.4",
    "thickness_mm": "0.115",
    "height_mm": "1.3",
    "length_mm": "350",
    "modulus_gpa": "205",
    "free_turns": "6",
    "efficiency": "0.9",
    "hours_per_turn": "6.5",
    "least_torque_nmm": "3",
}
"""An invented barrel, to begin with."""
NEAR_BEST = 0.01
OF_STRIP = ("height_mm", "thickness_mm", "length_mm")


@dataclass(slots=True)
class Shown:
    """The form with its problems by field; `kept` is what it says, `ways` what that comes to, both empty where it can't."""

    form: Form
    problems: dict[str, str] = field(default_factory=dict)
    kept: Kept | None = None
    ways: list[Way] = field(default_factory=list)

    @property
    def lacking(self) -> tuple[str, ...]:
        """The sizes still needed."""
        return missing(self.kept) if self.kept else ()

    @property
    def hours_known(self) -> bool:
        """Whether the hours of a turn are known."""
        return self.kept is not None and hours_of(self.kept) is not None


def says_something(typed: Mapping[str, str]) -> bool:
    """Whether an address or form says anything of a barrel."""
    return any(typed.get(name, "").strip() for name in (*FIELD_NAMES, "spring"))


def shown(form: Form) -> Shown:
    """Read the form, and reckon where that can be done."""
    found = Shown(*_with_line(form))
    try:
        fields = build(BarrelFields, {name: found.form[name] for name in FIELD_NAMES if found.form.get(name)})
        found.kept = fields.kept()
    except (Rejected, BadInput) as error:
        found.problems |= by_field(error, {})
        return found
    if found.kept.works == "going barrel" and not missing(found.kept):
        reckoned = barrelways.ways(found.kept, found.form)
        found.ways, found.problems = reckoned.found, found.problems | reckoned.problems
    return found


def _with_line(form: Form) -> tuple[Form, dict[str, str]]:
    """The form with a spring written as one line put into its fields; the drum only where none is told."""
    spread: Form = MultiDict(form)
    line = form.get("spring", "").strip()
    if not line:
        return spread, {}
    try:
        with barrelwords.in_words():
            strip = strip_of(line)
    except BadInput as bad:
        return spread, {"spring": bad.sentence}
    spread.setlist("spring", [])
    for name in OF_STRIP:
        spread.setlist(name, [written(getattr(strip, name), "g")])
    if strip.drum_diameter_mm is not None and not form.get("drum_diameter_mm", "").strip():
        spread.setlist("drum_diameter_mm", [written(strip.drum_diameter_mm, "g")])
    return spread, {}


def opened(kept: Kept) -> Form:
    """What is kept, as the form would send it."""
    return opened_with({name: getattr(kept, name) for name in FIELD_NAMES})


def in_millimetres(form: Form) -> dict[str, str]:
    """What lengths in other units come to, by field."""
    found = {}
    for name in (*LENGTHS, "other_thickness_mm", "other_drum_mm"):
        try:
            length = length_of(form.get(name, ""))
        except NoLength:
            continue
        if length.unit != "mm":
            found[name] = say("= {mm:.4g} mm", mm=length.mm)
    return found


def first_line(found: Shown, watch: Watch | None, observed: Band | None) -> str:
    """What ought it to last? In one sentence."""
    if watch is not None and watch.wound_by == "weights":
        return say("It goes by weights, so there is no barrel sum: the time left is the height left.")
    if found.kept is not None and found.kept.works != "going barrel":
        return _no_sum(found.kept)
    if found.ways:
        return _summed(found, observed)
    return _not_yet(found, watch)


def _not_yet(found: Shown, watch: Watch | None) -> str:
    if found.problems:
        return say("No sum yet: something below can't be taken.")
    if found.lacking and says_something(found.form):
        names = phrases.listed([say(barrelwords.FIELDS[name]) for name in found.lacking])
        return say("No sum yet; still needed: {names}.", names=names)
    if watch is not None:
        return say("What ought {nickname} to last? Nothing is kept of its barrel yet.", nickname=watch.nickname)
    return say("What ought a spring to last? Enter drum, arbor, strip and train.")


def _no_sum(kept: Kept) -> str:
    if kept.works == "fusee":
        return say("A fusee evens the torque out, so there is no barrel sum: its turns and its chain decide.")
    return say(
        "Stop-work lets only some of the turns be used, so there is no barrel sum: count the turns it lets through."
    )


def _summed(found: Shown, observed: Band | None) -> str:
    sums = found.ways[0].found
    if not found.hours_known and float(sums.usable_turns) > 0.0:
        return say(
            "{turns:.1f} turns down to {torque} N mm; how long a turn lasts is not known.",
            turns=float(sums.usable_turns),
            torque=barrelwords.digits(float(sums.torque_end_nmm), 2),
        )
    told = barrelwords.summary(sums)
    if observed is None or float(sums.usable_turns) <= 0.0:
        return told
    hours = phrases.in_hours(observed.mid, (observed.high - observed.low) / 2)
    return say("{told}; observed {hours}.", told=told.rstrip("."), hours=hours)


def beside_log(found: Shown, observed: Band | None) -> str:
    """The sum beside what was observed; empty where either is not known."""
    if observed is None or not found.ways or not found.hours_known:
        return ""
    hours = float(found.ways[0].found.reserve_h)
    span = phrases.span_in_hours(observed.low, observed.high)
    if observed.low <= hours <= observed.high:
        return say("The log says {span}, and the sum of {hours:.0f} h lies within.", span=span, hours=hours)
    share = abs(1.0 - observed.mid / hours) * 100.0 if hours else 0.0
    if hours > observed.high:
        return say(
            "The log says {span}, {share:.0f} % less than the sum of {hours:.0f} h. Friction in the train, a spring that has set, a hooking "
            "or bridle that gives early, or a figure above that is not measured may take the rest; which, a look decides.",
            span=span,
            share=share,
            hours=hours,
        )
    return say(
        "The log says {span}, {share:.0f} % more than the sum of {hours:.0f} h. So a figure above is not what is in the watch; the least "
        "torque is the one seldom measured.",
        span=span,
        share=share,
        hours=hours,
    )


def notes(found: Shown, watch: Watch | None) -> Iterator[str]:
    """What else is to be said above the figures."""
    if not found.ways or found.kept is None:
        return
    yield from (barrelwords.warning(each) for each in found.ways[0].found.warnings)
    fitted = fitted_of(found.kept)
    if fitted is not None:
        yield barrelwords.fitted_to(fitted)
    if found.kept.source == "from the supplier":
        yield say("The spring's sizes are the supplier's, not measured.")
    if watch is not None and watch.wound_by == "key":
        turns = float(found.ways[0].found.usable_turns)
        yield say(
            "A key is turned by half-turns: from the stop to full wind about {n:.0f} of them, if it sits on the arbor.",
            n=2.0 * turns,
        )


def figures(found: Shown) -> list[tuple[str, str]]:
    """The figures of the present barrel; none that hang on hours where those are not known."""
    rows = barrelwords.figures(found.ways[0].found)
    return rows if found.hours_known else rows[:-1]


def assumptions(found: Shown) -> list[str]:
    """What stands behind the sums."""
    present = found.ways[0]
    return barrelwords.assumptions(present.barrel, present.found)


def key_of(key: str, fields: str) -> str:
    """The uid of keeping these fields: one page holds several, each its own change."""
    return uid_of(key, fields)


def compared(found: Shown) -> list[tuple[str, ...]]:
    """Each way in a row: what it is called, turns, torque at full wind and at the stop, hours, and beside the present."""
    present = float(found.ways[0].found.reserve_h)
    return [_row(number, way, present, hours=found.hours_known) for number, way in enumerate(found.ways, 1)]


def _row(number: int, way: Way, present: float, *, hours: bool) -> tuple[str, ...]:
    sums = way.found
    lasts = float(sums.reserve_h)
    return (
        f"{number}  {way.name}",
        strip_said(way.barrel),
        written(float(sums.usable_turns), ".2f"),
        say("{torque} N mm", torque=barrelwords.digits(float(sums.torque_full_nmm))),
        say("{torque} N mm", torque=barrelwords.digits(float(sums.torque_end_nmm))),
        say("{hours:.1f} h", hours=lasts) if hours else "",
        "" if number == 1 else _beside(lasts, present),
        way.assumed,
    )


def _beside(lasts: float, present: float) -> str:
    """How much longer or shorter it lasts than the present one."""
    if not present:
        return ""
    percent = round(100.0 * (lasts / present - 1.0))
    if not percent:
        return say("as long")
    return say("{n} % longer", n=percent) if percent > 0 else say("{n} % shorter", n=-percent)


def strip_said(barrel: Barrel) -> str:
    """A spring in its barrel as one line."""
    sizes = (barrel.height_mm, barrel.thickness_mm, barrel.length_mm, barrel.drum_diameter_mm)
    return " × ".join(written(float(size), ".4g") for size in sizes)


def best_said(found: Shown) -> str:
    """Where the thickness that runs longest lies, or why there is none."""
    name = say("The thickness that runs longest")
    best = next((way for way in found.ways if way.name == name), None)
    if best is None:
        return say(
            "With no least torque told, a thinner strip always runs longer: enter the least torque on which the train goes "
            "to see where that ends."
        )
    now, then = (float(way.barrel.thickness_mm) for way in (found.ways[0], best))
    if abs(then / now - 1.0) < NEAR_BEST:
        return say(
            "At this least torque the strip is as thick as runs longest. A thinner one has more turns, but its torque falls with the "
            "cube of its thickness, so that the watch stops sooner, not later."
        )
    way = say("thinner") if then < now else say("thicker")
    return say(
        "At this least torque a strip of {best:.3f} mm runs longest, {share:.0f} % {way} than the one in it. A thinner strip has more turns, but "
        "its torque falls with the cube of its thickness, so that below {best:.3f} mm the watch stops sooner, not later.",
        best=then,
        share=100.0 * abs(then / now - 1.0),
        way=way,
    )


def with_strip(form: Form, barrel: Barrel) -> dict[str, str]:
    """The fields of the form with this barrel's strip in place of its own."""
    strip = {
        name: written(float(getattr(barrel, name)), ".6g")
        for name in ("height_mm", "thickness_mm", "length_mm", "free_turns")
    }
    gone = dict.fromkeys(("gauge_full_nmm", "gauge_later_nmm", "gauge_turns"), "")
    told = {name: form.get(name, "") for name in (*FIELD_NAMES, *barrelways.FIELDS)} | strip | gone
    return {name: value for name, value in told.items() if value}


def kept_with(form: Form, barrel: Barrel) -> dict[str, str]:
    """What is to be kept with this barrel's strip, by the sizes of its supplier."""
    told = with_strip(form, barrel)
    return {name: told[name] for name in FIELD_NAMES if name in told} | {"source": "from the supplier"}


def fields_of(form: Form, names: Sequence[str] = (*FIELD_NAMES, *barrelways.FIELDS)) -> dict[str, str]:
    """What was typed, without what was left empty."""
    return {name: form[name] for name in names if form.get(name, "").strip()}
