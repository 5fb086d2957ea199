"""The catalogue of what is wrong with a barrel, sentence by sentence."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.core.barrel.drums import USUAL, barrel
from tracker import barrelwords
from tracker.core.barrel import train, whatif
from tracker.core.barrel.gauge import fitted
from tracker.core.barrel.line import strip_of
from tracker.core.barrel.settled import after_set
from tracker.core.barrel.sums import sums
from tracker.errors import BadInput
from tracker.fileform.barrel import answer

ASKED: dict[str, Callable[..., object]] = {
    "barrel": lambda *given: sums(barrel(**dict(given))),
    "gauge": lambda *given: fitted(barrel(), *given),
    "set": lambda limit: after_set(barrel(), limit),
    "teeth": train.hours_from_teeth,
    "count": train.hours_from_count,
    "beat": lambda *given: whatif.at_beat(barrel(), *given),
    "train": lambda factor: whatif.with_train(barrel(), factor),
    "line": strip_of,
}
ROWS = [
    [cell.strip() for cell in row.split(" | ")]
    for row in (Path(__file__).parent / "barrel.txt").read_text(encoding="utf-8").splitlines()
    if row and not row.startswith("#")
]


def _given(text: str) -> list[Any]:
    given = json.loads(text)
    return list(given.items()) if isinstance(given, dict) else given


@pytest.mark.parametrize(("asked", "given", "field", "sentence"), ROWS)
def test_what_is_wrong_is_one_sentence_by_its_field(asked: str, given: str, field: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refused, barrelwords.in_words():
        ASKED[asked](*_given(given))
    assert (refused.value.field, refused.value.sentence) == (field, sentence)
    assert (refused.value.status, refused.value.exit_code) == (422, 2)


@pytest.mark.parametrize(("given", "field", "sentence"), [row[1:] for row in ROWS if row[0] == "barrel"])
def test_the_file_form_says_the_same_with_its_pointer(given: str, field: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        answer(USUAL | json.loads(given))
    assert (refused.value.field, refused.value.sentence) == (f"/{field}", f"/{field}: {sentence}")


def test_every_refusal_and_every_field_that_is_no_part_of_a_barrel_is_provoked() -> None:
    provoked = []
    for asked, given, _, _ in ROWS:
        with pytest.raises(BadInput) as refused, barrelwords.in_words():
            ASKED[asked](*_given(given))
        provoked.append(refused.value)
    assert {each.why for each in provoked if isinstance(each, barrelwords.BadBarrel)} == set(barrelwords.REFUSED)
    assert {each.field for each in provoked} >= set(barrelwords.FIELDS) - set(USUAL) - {"arrangement", "barrels"}
