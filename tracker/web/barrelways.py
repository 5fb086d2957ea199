"""What if: the ways that are asked for, each a barrel beside the present one, with what it assumes."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from pydantic import BaseModel, ConfigDict

from tracker import barrelwords
from tracker.commands.barrel import Above, Millimetres
from tracker.commands.build import build
from tracker.commands.fields import Vibrations
from tracker.core.barrel import whatif
from tracker.core.barrel.checked import refuse_where
from tracker.core.barrel.entered import Barrel
from tracker.core.barrel.kept import Kept, barrel_of, fitted_of
from tracker.core.barrel.settled import after_set
from tracker.core.barrel.sums import Sums, sums
from tracker.core.barrel.whatif import WhatIf
from tracker.errors import BadInput, Rejected
from tracker.words import say


class Asked(BaseModel):
    """What is asked beside the barrel itself; what is left out is not asked."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    from_vph: Vibrations = None
    to_vph: Vibrations = None
    other_thickness_mm: Millimetres = None
    other_drum_mm: Millimetres = None
    better: Above = None


FIELDS = tuple(Asked.model_fields)


@dataclass(frozen=True, slots=True)
class Way:
    """One barrel of the comparison: what it is called, its sums, and what it assumes."""

    name: str
    barrel: Barrel
    found: Sums
    assumed: str = ""


@dataclass(frozen=True, slots=True)
class Ways:
    """The present barrel first, then the others; what can't be reckoned, in a sentence by its field."""

    found: list[Way]
    problems: dict[str, str]


def ways(kept: Kept, typed: Mapping[str, str]) -> Ways:
    """Every way that is asked for of a barrel whose sizes are all known."""
    barrel = present(kept)
    found = Ways([Way(_called(kept), barrel, sums(barrel))], {})
    if barrel != barrel_of(kept):
        found.found.append(Way(say("As reckoned, without the gauge"), barrel_of(kept), sums(barrel_of(kept))))
    asked = _asked(typed, found.problems)
    for field, name, make in [*_always(kept, barrel), *_asked_for(asked, barrel)]:
        _add(found, field, name, make, barrel)
    return found


def present(kept: Kept) -> Barrel:
    """The barrel as fitted to its gauge, or as reckoned where none was read."""
    fitted = fitted_of(kept)
    return fitted.barrel if fitted else barrel_of(kept)


def _called(kept: Kept) -> str:
    return say("As it is") if fitted_of(kept) is None else say("As it is, fitted to the gauge")


def _asked(typed: Mapping[str, str], problems: dict[str, str]) -> Asked:
    """What was asked; what can't be taken is left out and told."""
    given = {name: typed[name] for name in FIELDS if typed.get(name)}
    try:
        return build(Asked, given)
    except Rejected as rejected:
        problems |= {each.field: each.sentence for each in rejected.problems}
        return build(Asked, {name: value for name, value in given.items() if name not in problems})


Making = tuple[str, str, Callable[[], WhatIf | Barrel | None]]
"""The field to blame, what it is called, and what makes it."""


def _always(kept: Kept, barrel: Barrel) -> Iterator[Making]:
    limit = kept.limit_mpa
    if limit is not None:
        yield "limit_mpa", say("After it has set"), lambda: after_set(barrel, limit)
    if float(barrel.barrels) == 1.0:
        yield "", say("Two barrels one behind the other"), lambda: whatif.with_barrels(barrel, 2, "series")
        yield "", say("Two barrels side by side"), lambda: whatif.with_barrels(barrel, 2, "parallel")
    yield "", say("The thickness that runs longest"), lambda: whatif.best_thickness(barrel)


def _asked_for(asked: Asked, barrel: Barrel) -> Iterator[Making]:
    thickness, drum, better = asked.other_thickness_mm, asked.other_drum_mm, asked.better
    if thickness is not None:
        name = say("A strip {mm:g} mm thick", mm=round(thickness, 4))
        yield "other_thickness_mm", name, lambda: whatif.with_thickness(barrel, thickness)
    if drum is not None:
        yield "other_drum_mm", say("A drum of {mm:g} mm", mm=round(drum, 3)), lambda: _in_drum(barrel, drum)
    if better is not None:
        name = say("A train better by a factor of {factor:g}", factor=better)
        yield "better", name, lambda: whatif.with_train(barrel, better)
    yield from _beats(asked, barrel)


def _in_drum(barrel: Barrel, drum_mm: float) -> WhatIf:
    """A drum that the arbor does not go into is said to be one, rather than that no strip goes into it."""
    arbor = barrel.arbor_diameter_mm
    refuse_where(arbor >= drum_mm, "arbor not inside", "arbor_diameter_mm", arbor=arbor, drum=drum_mm)
    return whatif.with_drum(barrel, drum_mm)


def _beats(asked: Asked, barrel: Barrel) -> Iterator[Making]:
    from_vph, to_vph = asked.from_vph, asked.to_vph
    if from_vph is None or to_vph is None:
        return
    names = (
        say("At {vph} vibrations an hour, as much energy a beat", vph=to_vph),
        say("At {vph} vibrations an hour, as wide a swing", vph=to_vph),
        say("At {vph} vibrations an hour, old train", vph=to_vph),
    )
    for place, name in enumerate(names):
        yield "to_vph", name, lambda place=place: whatif.at_beat(barrel, from_vph, to_vph)[place]  # type: ignore[misc]  # mypy: default of a lambda


def _add(found: Ways, field: str, name: str, make: Callable[[], WhatIf | Barrel | None], barrel: Barrel) -> None:
    try:
        with barrelwords.in_words():
            made = make()
            if isinstance(made, WhatIf):
                said = barrelwords.assumed(made, barrel)
                found.found.append(Way(name, made.barrel, sums(made.barrel), said))
            elif made is not None:
                after = sums(made)
                found.found.append(Way(name, made, after, barrelwords.set_back(sums(barrel), after)))
    except BadInput as bad:
        found.problems.setdefault(field, bad.sentence)
