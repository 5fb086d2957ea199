"""The log in words."""

from typing import Any, get_args

import pytest

from tests.web.rounds import BERLIN, NOW
from tracker.core.timeline import Amount, Found, Hands, Seen, WinderAct
from tracker.store.writer import LOG_TABLES
from tracker.web import logwords

COMMON: dict[str, Any] = {"note": "", "at_utc": "2026-11-25T06:25:00Z", "within_min": 0.0}
WIND = {"table": "winding", "amount": "full", "crown_turns": None, "found": "going", "hands": "left", "date_set": 0}
SEEN = {"table": "sighting", "seen": "stopped", "indicator_reading": None}
SHOWN: dict[str, Any] = {"shown": None, "shown_date": None, "side_spring_used": 0}


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (WIND, "Wound fully; it was going; hands left as they were"),
        (
            WIND | {"amount": "part", "crown_turns": 12.5, "found": "not noticed", "hands": "unknown"},
            "Wound in part; 12.5 turns",
        ),
        (
            WIND | {"found": "stopped", "hands": "set now", "date_set": 1, "shown": "4:37", "shown_date": 7},
            "Wound fully; it had stopped; hands at 4:37, date 7; hands and date set",
        ),
        (SEEN | {"shown": "4:37", "note": "cold room"}, "Found stopped; hands at 4:37; cold room"),
        (SEEN | {"side_spring_used": 1}, "Found stopped; the chronograph ran or the alarm rang"),
        (SEEN | {"seen": "not noticed", "indicator_reading": 0.5}, "The indicator showed 0.5"),
        ({"table": "wear", "act": "put on"}, "Put on"),
        ({"table": "on_winder", "act": "on", "turns_a_day": 650.0}, "Put on the winder; 650 turns a day"),
        (
            {"table": "on_winder", "act": "on", "turns_a_day": None, "note": "the left seat"},
            "Put on the winder; the left seat",
        ),
        ({"table": "on_winder", "act": "off", "turns_a_day": None}, "Taken off the winder"),
        (
            {"table": "service", "occasion": "", "done_by": "the workshop", "work_done": "new mainspring", "cost": ""},
            "Back from service; by the workshop; new mainspring",
        ),
    ],
)
def test_an_entry_is_told_as_it_was_noted(row: dict[str, Any], sentence: str) -> None:
    assert logwords.told(COMMON | SHOWN | row) == sentence


def test_a_width_is_said_where_it_matters() -> None:
    assert logwords.when(COMMON, NOW, BERLIN) == "today 07:25"
    assert logwords.when(COMMON | {"within_min": 180.0}, NOW, BERLIN) == "today 07:25, give or take 3 h"


def test_every_table_and_word_of_the_log_has_its_sentence() -> None:
    assert set(logwords.KIND_OF_TABLE) == set(LOG_TABLES)
    pairs = (
        (Amount, logwords.AMOUNT),
        (Found, logwords.FOUND),
        (Hands, logwords.HANDS),
        (Seen, logwords.SEEN),
        (WinderAct, logwords.WINDER),
    )
    for choices, words in pairs:
        assert set(get_args(choices)) == set(words)
