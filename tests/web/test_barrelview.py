"""What the Barrel page says."""

from werkzeug.datastructures import MultiDict

from tests.core.barrel.drums import USUAL
from tracker.core.barrel.kept import Kept
from tracker.core.reserve import Band
from tracker.web import barrelview
from tracker.web.forms import Form


def _form(**other: str) -> Form:
    return MultiDict({name: str(value) for name, value in USUAL.items()} | other)


def test_what_is_kept_opens_as_the_form_that_keeps_it() -> None:
    assert barrelview.shown(barrelview.opened(Kept(**USUAL))).kept == Kept(**USUAL)


def test_the_sum_is_held_against_the_band_of_what_was_observed() -> None:
    found = barrelview.shown(_form())
    assert barrelview.beside_log(found, None) == ""
    assert barrelview.beside_log(found, Band(50, 52, 55)).endswith("and the sum of 53 h lies within.")
    assert "% less than the sum of 53 h" in barrelview.beside_log(found, Band(38, 41, 44))
    assert "15 % more than the sum" in barrelview.beside_log(found, Band(58, 61, 64))


def test_another_strip_leaves_the_gauge_behind_and_keeps_the_rest() -> None:
    found = barrelview.shown(_form(gauge_full_nmm="7", gauge_later_nmm="4.5", gauge_turns="4", alloy="white"))
    fields = barrelview.kept_with(found.form, found.ways[1].barrel)
    assert (fields["alloy"], fields["source"]) == ("white", "from the supplier")
    assert not {"gauge_full_nmm", "gauge_turns"} & fields.keys()


def test_a_drum_that_is_told_is_not_overwritten_by_the_line() -> None:
    form = barrelview.shown(_form(spring="1.2 × 0.1 × 300 × 9")).form
    assert (form["drum_diameter_mm"], form["height_mm"], form.get("spring")) == ("11.0", "1.2", None)
