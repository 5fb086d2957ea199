from dataclasses import replace

from sensors.kinds import Boolean
from sensors.payload import Form
from sensors.rest import Span
from sensors.sensor import Sensor
from sensors.turns import Hour
from tests.web.rounds import LONDON, NOW
from tracker.store.sensed.reading import Condition, Heard
from tracker.web.sensorview import (
    Row,
    condition,
    first_line,
    gaps,
    gaps_said,
    heard_line,
    interval,
    rate,
    says_rest,
    says_turns,
    sorted_rows,
    taken,
    title,
    topics_line,
)

NOW_S = NOW.timestamp()


def row(name: str, *, silent: bool) -> Row:
    return Row(uid=name, name=name, topic="", watch="", says="", heard="", expected="", rejected=0, silent=silent)


def test_the_first_line_names_those_that_are_silent() -> None:
    heard = [row("a", silent=False), row("b", silent=False)]
    assert first_line([]) == "No sensor is set up yet."
    assert first_line(heard[:1]) == "The one sensor is heard."
    assert first_line(heard) == "Both sensors are heard."
    assert first_line([row("a", silent=True)]) == "The one sensor, a, is silent."
    assert first_line([*heard, row("c", silent=True)]) == "Two of three sensors heard; silent: c."
    many = [row(name, silent=True) for name in "abcde"]
    assert first_line([*heard, *many]) == "Two of seven sensors heard; silent: a, b, c and two more."
    assert first_line([*heard, row("c", silent=False)]) == "All three sensors are heard."


def test_one_message_is_told_in_the_singular() -> None:
    heard = Heard("", None, "", b"", retained=False, newest_s=None, readings=1, rejected=0, queued=0)
    assert taken(heard) == "One reading taken."
    assert taken(heard._replace(readings=20, rejected=1)) == "20 readings taken. One message rejected."
    assert taken(heard._replace(readings=0, rejected=2, queued=3)) == (
        "0 readings taken. 2 messages rejected. 3 messages had waited somewhere without saying since when: not used."
    )


def test_what_listening_around_has_found_is_one_sentence() -> None:
    asked = [topics_line(count, asked=True, listening=True, why="") for count in (0, 1, 3, 40)]
    assert asked == ["Listening; nothing heard yet.", "One topic heard.", "Three topics heard.", "40 topics heard."]
    assert topics_line(0, asked=False, listening=False, why="") == "Which topics are there?"
    assert topics_line(0, asked=True, listening=False, why="") == "Nothing was heard."
    assert topics_line(0, asked=True, listening=True, why="no broker") == "Nothing can be heard."


def test_how_often_messages_came_is_said_no_finer_than_it_is_known() -> None:
    assert [rate(each) for each in (None, 37.1, 1.02, 0.1)] == ["", "every 1.6 s", "every 59 s", "every 10 min"]


def test_the_page_of_a_sensor_begins_with_its_watch() -> None:
    each = replace(row("tray", silent=True), says="not known yet", expected="1 min")
    assert title(each) == "tray: not known yet."
    assert title(replace(each, watch="Night ferry")) == "Night ferry on tray: not known yet."
    assert heard_line(each) == "Nothing heard yet; a message is expected every 1 min."
    assert heard_line(replace(each, heard="just now")) == "Last heard just now; a message is expected every 1 min."


def test_the_silent_ones_stand_first() -> None:
    rows = [row("a", silent=False), row("z", silent=True), row("B", silent=False)]
    assert [each.name for each in sorted_rows(rows)] == ["z", "a", "B"]


def test_a_rest_sensor_says_its_state_while_it_is_heard() -> None:
    spans = [Span("going", NOW_S - 7_200, NOW_S - 60, "open")]
    assert says_rest(spans, NOW, LONDON, is_silent=False) == "going since today 05:25"
    assert says_rest(spans, NOW, LONDON, is_silent=True) == "was going"
    assert says_rest([Span("going", 0, 1, "unknown")], NOW, LONDON, is_silent=False) == "not known"
    assert says_rest([], NOW, LONDON, is_silent=False) == "not known yet"


TRAY = Sensor(
    uid="t", name="t", kind="rest", topic="t", form=Form("plain", "boolean"), reports=Boolean(), expected_s=60
)  # fmt: skip


def test_gaps_are_what_lies_between_spans_and_since_the_last_of_a_silent_one() -> None:
    hour = 3_600.0
    spans = [
        Span("going", NOW_S - 50 * hour, NOW_S - 40 * hour, "unknown"),
        Span("going", NOW_S - 39 * hour, NOW_S - 3 * hour, "stopped"),
        Span("stopped", NOW_S - 3 * hour + 60, NOW_S - hour, "open"),
    ]
    assert gaps(spans, TRAY, NOW, 1, is_silent=False) == []
    assert gaps(spans, TRAY, NOW, 7, is_silent=False) == [(NOW_S - 40 * hour, NOW_S - 39 * hour)]
    assert gaps(spans, TRAY, NOW, 1, is_silent=True) == [(NOW_S - hour, NOW_S)]
    assert gaps_said(spans, TRAY, NOW, is_silent=True) == "1 in a day, 2 in a week, 2 h in all"
    assert gaps_said(spans[1:], TRAY, NOW, is_silent=False) == "none in a week"
    assert gaps_said([], TRAY, NOW, is_silent=True) == ""


def test_turns_are_told_with_the_hours_that_are_known() -> None:
    assert says_turns([]) == "no turns known in the last 24 h"
    assert says_turns([Hour(hour, clockwise=25, heard_s=3600) for hour in range(24)]) == "600 turns in the last 24 h"
    few = [Hour(hour, not_known=10, heard_s=3600) for hour in range(5)]
    assert says_turns(few) == "50 turns in the 5 h that are known of the last 24"


def test_how_the_listener_fares_is_told() -> None:
    def told(state: str, why: str = "", *, own: bool = False) -> str:
        found = Condition(state, NOW_S - 3_600, why, "5", NOW_S, 7)
        return condition(found, NOW, LONDON, own_broker=own)

    assert told("listening") == "Listening since today 06:25, by MQTT 5."
    assert told("listening", "the disk is full.").endswith("But: the disk is full.")
    assert told("away", "no broker answers").startswith("Not listening since today 06:25: no broker answers.")
    assert "is lost when it stops" in told("listening", own=True)
    assert told("stopped").startswith("Nothing listens at the moment.")
    assert condition(None, NOW, LONDON, own_broker=False).startswith("Nothing listens at the moment.")


def test_intervals_are_said_in_their_own_unit() -> None:
    assert [interval(seconds) for seconds in (10, 60, 900, 7_200)] == ["10 s", "1 min", "15 min", "2 h"]
