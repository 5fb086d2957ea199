from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tracker.core.spread import Band
from tracker.reminders.cuefacts import CueFacts
from tracker.reminders.cueplan import CueToTell, plan_cues
from tracker.reminders.message import Message, cue_message, message
from tracker.reminders.plan import KeptWatch, plan
from tracker.reminders.reminder import Reminder

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 25, 10, tzinfo=UTC)
BEFORE_THE_NIGHT = datetime(2026, 10, 24, 20, 0, tzinfo=UTC)


def last_call(wind_by: datetime, told_at: datetime) -> Reminder:
    started = told_at - timedelta(hours=30)
    return plan([KeptWatch("ferry", "Night ferry", "wind-1", started, wind_by)], [], 3, told_at)[0]


def test_it_says_by_when_to_wind_and_how_long_that_is() -> None:
    now = datetime(2026, 11, 26, 16, 0, tzinfo=UTC)
    said = message(last_call(now + timedelta(hours=3), now), now, LONDON)
    assert (said.title, said.text) == ("Wind Night ferry", "Night ferry: wind by today 19:00, in 3 h.")
    assert said.key == "last-call/ferry/wind-1/1"


def test_told_too_late_it_says_what_is_true_then() -> None:
    now = datetime(2026, 11, 26, 2, 0, tzinfo=UTC)
    reminder = last_call(now + timedelta(hours=2), now)
    said = message(reminder, now + timedelta(hours=5), LONDON)
    assert (said.title, said.text) == ("Look at Night ferry", "Night ferry may have stopped today at about 04:00.")


def test_a_stop_that_a_sensor_told_is_said_so() -> None:
    stopped_at = NOW - timedelta(hours=1)
    stood = KeptWatch("ferry", "Night ferry", "wind-1", NOW - timedelta(hours=40), None, stopped_at=stopped_at)
    said = message(plan([stood], [], 3, NOW)[0], NOW, LONDON)
    assert (said.title, said.text) == ("Night ferry has stopped", "Night ferry stopped today at 09:00, by its sensor.")


def test_in_the_autumn_night_the_hour_that_comes_twice_is_told_by_the_clock_then_and_its_true_distance() -> None:
    summer, winter = (datetime(2026, 10, 25, hour, 30, tzinfo=UTC) for hour in (0, 1))
    texts = [message(last_call(each, BEFORE_THE_NIGHT), BEFORE_THE_NIGHT, LONDON).text for each in (summer, winter)]
    assert texts == [
        "Night ferry: wind by tomorrow 01:30, in 4 h.",
        "Night ferry: wind by tomorrow 01:30, in 6 h.",
    ]


def test_after_the_autumn_night_the_clock_reads_an_hour_less() -> None:
    wind_by = datetime(2026, 10, 25, 7, 0, tzinfo=UTC)
    assert "tomorrow 07:00, in 11 h" in message(last_call(wind_by, BEFORE_THE_NIGHT), BEFORE_THE_NIGHT, LONDON).text


def test_the_sentence_follows_a_wind_by_that_moved_since() -> None:
    now = datetime(2026, 11, 26, 16, 0, tzinfo=UTC)
    moved = replace(last_call(now + timedelta(hours=3), now), useful_until=now + timedelta(hours=3, minutes=40))
    assert "19:40" in message(moved, now, LONDON).text


def test_a_look_is_told_as_one() -> None:
    offered = KeptWatch("ferry", "Night ferry", "wind-1", NOW - timedelta(hours=30), NOW, look_at=NOW)
    said = message(plan([offered], [], 3, NOW - timedelta(hours=20))[0], NOW, LONDON)
    assert (said.title, said.key) == ("Look at Night ferry", "look/ferry/wind-1/1")
    assert said.text == "Night ferry: look at it before it is wound. If it has stopped, read its hands first."


def _cue(**facts: object) -> Message:
    told = CueFacts(
        nickname="Workshop spare", step="keep an eye", reason="fallen", probability=0.8, lost=Band(0.061, 0.12, 0.171),
        stops=3, going=41, since=datetime(2024, 5, 1, tzinfo=UTC), serviced=True, threshold=0.1, least_h=None,
        interval_years=None, model="1",
    )  # fmt: skip
    cue = CueToTell("spare", "cue", 1, None, replace(told, **facts))  # type: ignore[arg-type]  # facts by name
    (reminder,) = plan_cues(["spare"], {"spare": cue}, [], due_at=NOW, now=NOW)
    return cue_message(reminder, LONDON)


def test_a_cue_is_said_with_its_evidence() -> None:
    message = _cue()
    assert (message.title, message.key) == ("Workshop spare: keep an eye on it", "cue/spare/cue/1")
    assert message.text == (
        "Workshop spare has lost about 12 % of its reserve since its service (6 to 17 %). From 3 stops and 41 “at least”, "
        "since May 2024. Less reserve alone is seldom a reason to open a watch. What it shows is "
        "where to look next."
    )


@pytest.mark.parametrize(
    ("facts", "title", "said"),
    [
        ({"step": "service advised", "reason": "fallen far"}, "service advised", "That is probably more than 20 %."),
        ({"step": "service advised", "reason": "fallen and due", "interval_years": 5.0}, "service advised", "Its service is more than 5 years past, too."),
        ({"reason": "below least", "least_h": 36.5}, "keep an eye", "Workshop spare probably runs for less than the 36.5 h you want of it."),
        ({"serviced": False}, "keep an eye", "since its log began (6 to 17 %). From 3 stops and 41 “at least”, since May 2024."),
        ({"lost": Band(-0.02, 0.11, 0.2)}, "keep an eye", "(up to 20 %)"),
    ],
)  # fmt: skip
def test_each_reason_has_its_sentence(facts: dict[str, object], title: str, said: str) -> None:
    message = _cue(**facts)
    assert title in message.title
    assert said in message.text
