"""From the register form to commands."""

from datetime import UTC, datetime

import pytest
from werkzeug.datastructures import MultiDict

from tracker.commands.log import LogSighting, LogWind
from tracker.commands.register import RegisterWatch
from tracker.errors import Rejected
from tracker.web.registering import Line, commands_of, lines, taken_in

NOW = datetime(2026, 11, 25, 7, 25, tzinfo=UTC)


def rejected(**fields: str) -> list[tuple[str, str]]:
    with pytest.raises(Rejected) as caught:
        commands_of(MultiDict({"uid": "a page", **fields}), NOW, "UTC")
    return [(problem.field, problem.sentence) for problem in caught.value.problems]


def test_a_line_may_end_with_a_state() -> None:
    assert lines("Night ferry, going\n\nGrey dial, Stopped\nAlmanac, don’t know") == [
        Line(1, "Night ferry", "going"),
        Line(3, "Grey dial", "stopped"),
        Line(4, "Almanac", "not noticed"),
    ]


def test_a_comma_no_state_follows_belongs_to_the_nickname() -> None:
    assert lines("Ferry, the small one") == [Line(1, "Ferry, the small one", "not noticed")]


def test_a_state_is_a_sighting_and_a_winding_takes_its_place() -> None:
    form = MultiDict({"uid": "a page", "nicknames": "Night ferry, going\nGrey dial, stopped\nAlmanac"})
    seen = [command for command in commands_of(form, NOW, "UTC") if not isinstance(command, RegisterWatch)]
    assert [command.seen for command in seen if isinstance(command, LogSighting)] == ["going", "stopped"]
    form["just_wound"] = "yes"
    wound = [command for command in commands_of(form, NOW, "UTC") if not isinstance(command, RegisterWatch)]
    assert [command.found for command in wound if isinstance(command, LogWind)] == ["going", "stopped", "not noticed"]


def test_the_same_page_names_its_watches_alike_each_time() -> None:
    form = MultiDict({"uid": "a page", "nicknames": "Night ferry, going\nGrey dial"})
    first, second = commands_of(form, NOW, "UTC"), commands_of(form, NOW, "UTC")
    assert [command.uid for command in first] == [command.uid for command in second]
    assert len({command.uid for command in first}) == 3


def test_no_nickname_at_all_is_said_by_the_list() -> None:
    assert rejected(nicknames=" \n") == [("nicknames", "No watch is named. Write one nickname a line.")]


def test_a_nickname_that_cant_be_taken_is_named_by_its_line() -> None:
    assert ("nicknames", "Line 2: This is too long. Give at most 60 characters.") in rejected(
        nicknames="Night ferry\n" + "x" * 61
    )


def test_a_nickname_named_twice_is_named_by_its_line() -> None:
    assert rejected(nicknames="Night ferry\nnight ferry, going") == [
        ("nicknames", "Line 2: “night ferry” is named twice. Give each watch its own nickname.")
    ]


def test_several_watches_share_no_serial_number() -> None:
    assert [field for field, _ in rejected(nicknames="Night ferry\nGrey dial", serial="17")] == ["serial"]


def test_a_word_that_is_no_state_is_refused_and_not_taken_for_a_name() -> None:
    assert rejected(nicknames="Alma, going\nBeta, goin") == [
        (
            "nicknames",
            (
                "Line 2: “goin” is no state. "
                "After a comma write going, stopped or don't know; a nickname in this list has no comma."
            ),
        )
    ]


@pytest.mark.parametrize(
    ("fields", "gone_to"),
    [
        ({"nicknames": "Night ferry", "job_number": "W-7"}, True),
        ({"nicknames": "Night ferry"}, False),
        ({"nicknames": "Night ferry\nGrey dial", "belongs_to": "A pilot"}, False),
    ],
)
def test_only_one_customers_watch_alone_is_gone_to(fields: dict[str, str], *, gone_to: bool) -> None:
    commands = commands_of(MultiDict({"uid": "a page", **fields}), NOW, "UTC")
    assert bool(taken_in(commands)) is gone_to
