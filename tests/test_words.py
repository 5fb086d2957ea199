"""Every sentence for people can be said in another language."""

import ast
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from string import Formatter

import pytest

from tracker import errors
from tracker.commands.build import OF_KIND
from tracker.errors import GoingError
from tracker.words import Formats, Speech, as_in_files, say, speak, speech, written

ROOT = Path(__file__).parents[1]
ERRORS = {
    name for name, value in vars(errors).items() if isinstance(value, type) and issubclass(value, GoingError)
}  # fmt: skip
SENTENCES = {"sentence", "what", "accepted"}


@pytest.fixture
def _german() -> Iterator[None]:
    speak(Speech("de", {"Wind by {when}": "Aufziehen bis {when}", "Going": "Geht", "Stopped": ""}))
    yield
    speak(Speech())


@pytest.mark.usefixtures("_german")
def test_a_catalogue_replaces_sentences_and_keeps_their_places() -> None:
    assert say("Wind by {when}", when="07:30") == "Aufziehen bis 07:30"
    assert say("Going") == "Geht"


@pytest.mark.usefixtures("_german")
def test_what_the_catalogue_lacks_is_said_in_english() -> None:
    assert say("Stopped at {when}", when="4:37") == "Stopped at 4:37"
    assert say("Stopped") == "Stopped"


@pytest.mark.usefixtures("_german")
def test_another_thread_is_not_touched() -> None:
    with ThreadPoolExecutor() as pool:
        assert pool.submit(say, "Going").result() == "Going"


@pytest.fixture
def _commas() -> Iterator[None]:
    speak(Speech(formats=Formats(decimal="comma")))
    yield
    speak(Speech())


@pytest.mark.usefixtures("_commas")
def test_a_decimal_comma_stands_in_every_figure_and_a_gap_parts_thousands() -> None:
    assert (
        say("{turns:.1f} turns, {n} h, {all:,.0f} mm", turns=6.25, n=12, all=1234) == "6,2 turns, 12 h, 1\u202f234 mm"
    )
    assert written(1234.5, ",.1f") == "1\u202f234,5"
    assert say("{name}, {when}", name="A.B", when="2026-11-25") == "A.B, 2026-11-25"


@pytest.mark.usefixtures("_commas")
def test_files_keep_the_point() -> None:
    with as_in_files():
        assert written(0.5, "g") == "0.5"
    assert speech().formats.decimal == "comma"


@pytest.mark.parametrize("typed", ["{", "}", "{x}", "{0}", "{when!r}", "{{", "%s"])
def test_braces_that_were_typed_are_said_as_typed(typed: str) -> None:
    assert say("“{input}” is not a number.", input=typed) == f"“{typed}” is not a number."
    assert say(typed) == typed


def _calls(path: Path) -> Iterator[ast.Call]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call):
            yield node


def _name(call: ast.Call) -> str:
    return ast.unparse(call.func).rpartition(".")[2]


def _is_bare(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and bool(node.value))


def test_every_error_takes_its_sentence_from_the_catalogue() -> None:
    bare = [
        f"{path.relative_to(ROOT)}:{call.lineno}"
        for path in sorted(ROOT.glob("tracker/**/*.py"))
        for call in _calls(path)
        if _name(call) in ERRORS - {"UnknownKey"}
        for value in [*call.args[:1], *(keyword.value for keyword in call.keywords if keyword.arg in SENTENCES)]
        if _is_bare(value)
    ]
    assert bare == []


def _places(sentence: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(sentence) if name is not None}


def test_every_sentence_has_a_value_for_each_of_its_places() -> None:
    wrong = []
    for path in sorted(ROOT.glob("tracker/**/*.py")):
        fills_later = ".format(" in path.read_text()
        for call in _calls(path):
            given = {keyword.arg for keyword in call.keywords}
            first = call.args[0] if _name(call) == "say" and call.args else None
            if not isinstance(first, ast.Constant) or None in given or (fills_later and not given):
                continue
            if _places(str(first.value)) != given:
                wrong.append(f"{path.relative_to(ROOT)}:{call.lineno}")
    assert wrong == []


def test_no_sentence_of_the_table_of_kinds_breaks_on_a_brace() -> None:
    for _, what, accepted in OF_KIND.values():
        for sentence in (what, accepted):
            list(Formatter().parse(sentence))
