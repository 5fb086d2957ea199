"""What the bench knows of a watch's barrel."""

from typing import Annotated, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from tracker.barrelwords import in_words
from tracker.commands.base import Command, Who
from tracker.commands.fields import ShortText, Text, Uid, blank_as_none, comma_as_point, unmistakable
from tracker.core.barrel.entered import Arrangement
from tracker.core.barrel.kept import READINGS, Kept, OuterEnd, Source, Works, barrel_of, fitted_of, missing
from tracker.core.barrel.sums import sums
from tracker.core.lengths import NoLength, length_of
from tracker.errors import BadInput, NotFound, Stale
from tracker.store import barrels, register
from tracker.store.moments import to_text
from tracker.store.writer import Writer
from tracker.words import say


def _millimetres(typed: object) -> object:
    """A length as people write it, in mm."""
    if not isinstance(typed, str):
        return typed
    try:
        return length_of(unmistakable(typed)).mm
    except NoLength as error:
        raise PydanticCustomError("length", "length") from error


_Above = Annotated[float, Field(gt=0, le=1e6, allow_inf_nan=False)]
_From0 = Annotated[float, Field(ge=0, le=1e6, allow_inf_nan=False)]
_Share = Annotated[float, Field(gt=0, le=1, allow_inf_nan=False)]
_Any = Annotated[float, Field(ge=-1e6, le=1e6, allow_inf_nan=False)]
_Count = Annotated[int, Field(gt=0, le=100)]
_Teeth = Annotated[int, Field(gt=0, le=10_000)]
_COMMA, _BLANK = BeforeValidator(comma_as_point), BeforeValidator(blank_as_none)
Millimetres = Annotated[_Above | None, BeforeValidator(_millimetres), _BLANK]
Above = Annotated[_Above | None, _COMMA, _BLANK]
From0 = Annotated[_From0 | None, _COMMA, _BLANK]


class BarrelFields(BaseModel):
    """What can be said of a barrel; what is left out is not known."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    works: Works = "going barrel"
    drum_diameter_mm: Millimetres = None
    arbor_diameter_mm: Millimetres = None
    thickness_mm: Millimetres = None
    height_mm: Millimetres = None
    length_mm: Millimetres = None
    modulus_gpa: Above = None
    alloy: ShortText = ""
    free_turns: Annotated[_Any | None, _COMMA, _BLANK] = None
    efficiency: Annotated[_Share | None, _COMMA, _BLANK] = None
    outer_end: Annotated[OuterEnd | None, _BLANK] = None
    hours_per_turn: Above = None
    barrel_teeth: Annotated[_Teeth | None, _BLANK] = None
    pinion_leaves: Annotated[_Teeth | None, _BLANK] = None
    wheel_hours: Above = None
    least_torque_nmm: From0 = None
    barrels: Annotated[_Count | None, _BLANK] = None
    arrangement: Arrangement = "series"
    gauge_full_nmm: Above = None
    gauge_later_nmm: From0 = None
    gauge_turns: Above = None
    limit_mpa: Above = None
    source: Annotated[Source | None, _BLANK] = None
    note: Text = ""

    @model_validator(mode="after")
    def _train_is_whole(self) -> Self:
        if (self.barrel_teeth is None) != (self.pinion_leaves is None):
            raise PydanticCustomError("half_a_train", "half_a_train")
        if self.hours_per_turn is not None and self.barrel_teeth is not None:
            raise PydanticCustomError("hours_twice", "hours_twice")
        return self

    @model_validator(mode="after")
    def _gauge_is_whole(self) -> Self:
        if len({getattr(self, name) is None for name in READINGS}) > 1:
            raise PydanticCustomError("gauge_in_part", "gauge_in_part")
        return self

    def kept(self) -> Kept:
        """The same as a value of the core.

        Raises:
            BadInput: no such barrel can be; in one sentence, with its field.
        """
        kept = Kept(**{name: getattr(self, name) for name in FIELD_NAMES})
        if not missing(kept):
            _check(kept)
        return kept


FIELD_NAMES = tuple(BarrelFields.model_fields)
_OF_GAUGE = {"full_nmm": "gauge_full_nmm", "later_nmm": "gauge_later_nmm", "turns_between": "gauge_turns"}


def _check(kept: Kept) -> None:
    try:
        with in_words():
            sums(barrel_of(kept))
            fitted_of(kept)
    except BadInput as bad:
        bad.field = _OF_GAUGE.get(bad.field, bad.field)
        raise


class KeepBarrel(BarrelFields, Command):
    """Keep what is known of a watch's barrel in place of what was, in the version its sender saw."""

    watch_uid: Uid
    version: int | None = None

    def apply(self, writer: Writer, who: Who) -> None:
        if register.watch(writer.db, self.watch_uid) is None:
            raise NotFound(say("There is no such watch, or no longer."))
        kept = self.kept()
        columns = {name: getattr(kept, name) for name in FIELD_NAMES} | {"noted_at_utc": to_text(who.now)}
        former = barrels.barrel_of_watch(writer.db, self.watch_uid)
        if former is not None:
            # Who saw none has seen no version, and must not write over what came since.
            writer.edit("barrel", former.uid, self.version or 0, columns)
        elif self.version is not None:
            raise Stale(
                say("What you changed was taken back since you opened it; nothing was saved. Look again, then repeat.")
            )
        else:
            writer.insert("barrel", {"uid": self.uid, "watch_uid": self.watch_uid, **columns})
