"""Questions that sensors leave open, in words."""

from datetime import UTC, datetime
from typing import get_args

from tests.web.rounds import BERLIN, LONDON
from tracker.core.heard import AnswerWord, Asking, Question
from tracker.web.heardwords import ANSWERS, asked, sentence

NOW = datetime(2026, 3, 4, 12, tzinfo=UTC)
ROW = {
    "uid": "s", "table": "sighting", "at_utc": "2026-03-04T08:00:00Z", "within_min": 2.0, "seen": "stopped", "note": "",
    "indicator_reading": None, "shown": None, "shown_date": None, "side_spring_used": 0,
}  # fmt: skip


BUT = "But its sensor heard it going from Mon 20:00 to today 12:00."


def question(asking: Asking, since: str, until: str, entry_uid: str | None = None) -> Question:
    start, end = (datetime.fromisoformat(f"2026-03-{text}").replace(tzinfo=UTC) for text in (since, until))
    return Question(asking=asking, sensor_uid="tray", since=start, until=end, entry_uid=entry_uid)


def test_each_question_is_a_sentence_with_its_moments() -> None:
    told = [
        sentence(each, [ROW], NOW, LONDON)
        for each in (
            question("lifted or stopped", "04 04:12", "04 04:13"),
            question("wound", "03 23:50", "04 07:31"),
            question("not heard", "04 03:10", "04 05:20"),
            question("log or sensor", "02 20:00", "04 12:00", "s"),
            question("another watch", "04 09:00", "04 12:00"),
        )
    ]
    assert told == [
        "Its sensor heard it going until today 04:12 and no more from 04:13 on. Had it stopped, or did you pick it up?",
        "It was away from its sensor from yesterday 23:50 and has been going there again since today 07:31. Was it wound at about 07:31?",
        "Its sensor told nothing from today 03:10 to 05:20. Was it wound in that time?",
        f"Noted for today 08:00: Found stopped. {BUT} Which is right? Until you say, the log counts.",
        "Since today 09:00 what its sensor hears does not beat as this watch does. Does another watch lie there?",
    ]


def test_a_day_is_that_of_the_owners_clock() -> None:
    told = sentence(question("lifted or stopped", "03 22:59", "03 23:01"), [], NOW, BERLIN)
    assert "yesterday 23:59 and no more from today 00:01 on" in told


def test_the_newest_question_is_asked_and_every_one_about_an_entry() -> None:
    questions = [
        question("log or sensor", "01 08:00", "01 20:00", "s"),
        question("wound", "02 08:00", "02 09:00"),
        question("lifted or stopped", "03 08:00", "03 08:01"),
    ]
    assert [each.question for each in asked(questions, [ROW], NOW, LONDON)] == [questions[2], questions[0]]
    assert asked([], [ROW], NOW, LONDON) == []


def test_every_question_has_its_answers_and_every_answer_its_button() -> None:
    words = {word for answers in ANSWERS.values() for word, _ in answers}
    assert set(ANSWERS) == set(get_args(Asking))
    assert words - {"wound-going", "wound-stopped", "wound-part", "another watch"} == set(get_args(AnswerWord))
