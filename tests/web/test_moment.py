"""When it happened, as a form asks it."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from werkzeug.datastructures import MultiDict

from tracker.core.when import Said
from tracker.errors import BadInput
from tracker.web.moment import moment_of

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)


def asked(**fields: str) -> Said:
    return moment_of(MultiDict(fields), NOW, BERLIN)


def test_nothing_said_means_now() -> None:
    assert asked().at == NOW


def test_about_a_time_is_the_last_one_past_on_the_owners_clock() -> None:
    assert asked(when="about", clock="2200").at == datetime(2026, 11, 24, 21, tzinfo=UTC)


def test_a_full_time_is_read_on_the_owners_clock_and_takes_a_width() -> None:
    said = asked(when="full", local="2026-11-20T07:30", give_or_take_min="45")
    assert (said.at, said.zone_name, said.within_min) == (
        datetime(2026, 11, 20, 6, 30, tzinfo=UTC),
        "Europe/Berlin",
        45,
    )


def test_a_correction_may_leave_the_time_as_noted() -> None:
    noted = Said(NOW, "Asia/Kolkata", 20.0)
    assert moment_of(MultiDict({"when": "as noted"}), NOW, BERLIN, noted=noted) == noted


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"when": "soon"}, "when", "It is not said when. Choose one of the times."),
        ({"when": "as noted"}, "when", "It is not said when. Choose one of the times."),
        ({"when": "about", "clock": "25:00"}, "clock", "“25:00” is not a time on the clock. Give it as 07:30."),
        (
            {"when": "full", "local": "2026-03-29T02:30"},
            "local",
            "The clocks of Europe/Berlin skipped 2026-03-29 02:30. Give a time before or after the change.",
        ),
        (
            {"when": "full", "local": "2026-10-25T02:30"},
            "local",
            (
                "The clocks of Europe/Berlin showed 2026-10-25 02:30 twice. "
                "Give it as 2026-10-25T02:30+02:00 or 2026-10-25T02:30+01:00."
            ),
        ),
        (
            {"when": "full", "local": "2026-11-20T07:30", "give_or_take_min": "much"},
            "give_or_take_min",
            "“much” is not a number of minutes. Give 0 or more, at most two weeks.",
        ),
    ],
)
def test_a_time_that_is_none_is_named_by_its_field(fields: dict[str, str], field: str, sentence: str) -> None:
    with pytest.raises(BadInput) as caught:
        asked(**fields)
    assert (caught.value.field, caught.value.sentence) == (field, sentence)


def test_a_day_that_was_not_chosen_is_asked_for() -> None:
    with pytest.raises(BadInput) as asked:
        moment_of(MultiDict({"when": "full", "local": " "}), NOW, BERLIN)
    assert (asked.value.field, asked.value.sentence) == ("local", "No day is given. Choose one.")
