"""From a form to a change, and back to the form."""

from werkzeug.datastructures import MultiDict

from tracker.errors import BadInput, Conflict, Rejected
from tracker.web.forms import by_field, changed_since, opened_with, values_of, version_of


def test_the_first_problem_of_a_field_is_the_one_shown() -> None:
    problems = [BadInput("One.", field="shown"), BadInput("Two.", field="shown"), BadInput("Three.", field="note")]
    assert by_field(Rejected(problems), {}) == {"shown": "One.", "note": "Three."}


def test_a_problem_of_a_field_nobody_sees_stands_above_the_form() -> None:
    assert by_field(BadInput("No uid.", field="uid"), {}) == {"": "No uid."}
    assert by_field(Conflict("Changed."), {}) == {"": "Changed."}


def test_a_problem_stands_by_the_name_the_form_has_for_its_field() -> None:
    assert by_field(BadInput("Taken.", field="nickname"), {"nickname": "nicknames"}) == {"nicknames": "Taken."}


def test_a_register_row_opens_as_its_form_would_send_it() -> None:
    form = opened_with({"hours": 42.0, "days": ("Mon", "Fri"), "date": True, "screw": False, "place": None})
    assert form.getlist("days") == ["Mon", "Fri"]
    assert [form[name] for name in ("hours", "date", "screw", "place")] == ["42", "yes", "", ""]


def test_a_missing_tick_means_no_and_a_missing_field_says_nothing() -> None:
    form = MultiDict([("place", "tray"), ("days", "Mon"), ("days", "Fri")])
    assert values_of(form, ["place", "days", "note"], flags=["date_window"]) == {
        "place": "tray",
        "days": "Mon Fri",
        "date_window": False,
    }


def test_what_changed_meanwhile_is_said_by_its_field_alone() -> None:
    stands = opened_with({"place": "safe", "calibre": "K-12", "screw_down_crown": False})
    form = MultiDict({"place": "tray", "calibre": "K-12"})
    assert changed_since(form, stands) == {"place": "By now it says “safe”."}


def test_a_version_that_is_no_number_names_none() -> None:
    assert version_of(MultiDict({"version": "7"})) == 7
    assert version_of(MultiDict({"version": "x"})) is None
