"""Whatever is shown or said stands in the catalogue, so that one file translates it: told by a language of marks."""

import json
import re
import shlex
import shutil
from argparse import ArgumentParser, _SubParsersAction
from collections.abc import Iterator
from contextlib import closing
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from tests.browser.everypage import every_answer
from tests.sentences import sentences
from tests.web.rounds import NOW, client, give
from tracker import languages
from tracker.cli import main
from tracker.cli.parser import make_parser
from tracker.cli.verbs import VERBS
from tracker.collection import open_collection
from tracker.commands.settings import ChangeSettings
from tracker.languages import begin_to_speak
from tracker.store import register, sensors
from tracker.store.store import Store
from tracker.web.app import create_app
from tracker.words import Speech, speak

MARKED = "qps"
"""A code that BCP 47 leaves to private use."""
WORD = re.compile(r"[^\W\d_]{2,}")
NAMES = ("English", "Marks", "https://watches.example", "/media/stick/watches")
"""What each language calls itself, and examples of addresses."""
LASTING = {"serve", "listen", "demo", "simulate", "password", "person", "token", "check", "recompute"}
"""Commands that go on until they are stopped, take long, ask for a password, or tell a secret."""
WRONG = {
    "/settings": {
        "zone": "Nowhere",
        "notice_h": "soon",
        "bench_days": "Caturday",
        "base_address": "here",
        "quiet_from": "late",
    },
    "/collection/register": {"nicknames": "", "stated_reserve_h": "long", "job_number": "W", "promised_for": "soon"},
    "/watch/{uid}/edit": {"nickname": "", "stated_reserve_h": "1,234", "vibrations_per_hour": "many", "version": "1"},
    "/watch/{uid}/log": {"when": "about", "clock": "99:99", "shown": "99:99"},
    "/sensors/new": {"name": "", "expected_s": "often"},
    "/no/such/page": {},
    "/collection": {},
}
"""What no form takes, by address."""
SHOWN = {"alt", "aria-label", "placeholder", "title", "aria-description", "content"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("languages")
    told = {"name": "Marks", "sentences": {each: f"⟦{each}⟧" for each in sentences()}}
    (folder / f"{MARKED}.json").write_text(json.dumps(told))
    return folder


@pytest.fixture
def _marked(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(languages, "FOLDER", folder)
    yield
    speak(Speech())


class _Shown(HTMLParser):
    """The texts of a page that people see or hear."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.figures = 0
        self._figure = False
        self._hidden = 0
        self.feed(re.sub(r"<article lang=\"en\">.*?</article>", "", page, flags=re.DOTALL))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._hidden += tag in {"script", "style", "pre", "code"}
        self.texts += [value or "" for name, value in attrs if name in SHOWN and tag != "meta"]
        self._figure = ("type", "application/json") in attrs

    def handle_endtag(self, tag: str) -> None:
        self._figure = False
        self._hidden -= tag in {"script", "style", "pre", "code"}

    def handle_data(self, data: str) -> None:
        if self._figure and data.strip():
            self.texts += [*_words_of(json.loads(data))]
            self.figures += 1
        elif not self._hidden:
            self.texts.append(data)


def _words_of(figure: Any) -> Iterator[str]:
    if isinstance(figure, dict):
        for name, value in figure.items():
            if name in {"text", "ticktext"}:
                told = [value] if isinstance(value, str) else [each for each in value or [] if each]
                yield from (re.sub(r"<[^>]*>", " ", str(each)) for each in told)
            else:
                yield from _words_of(value)
    elif isinstance(figure, list):
        for each in figure:
            yield from _words_of(each)


def _outside(text: str, own: list[str]) -> str:
    """What is left of a text without what the catalogue says and what the owner wrote."""
    left, changed = text, True
    while changed:
        cut = re.sub(r"⟦[^⟦⟧]*⟧", " ", left)
        left, changed = cut, cut != left
    if not WORD.search(left):
        return ""
    for each in (*NAMES, *own):
        left = re.sub(rf"(?<!\w){re.escape(each)}(?!\w)", " ", left) if each in left else left
    return " ".join(WORD.findall(left))


def _own(store: Store) -> list[str]:
    """All texts that the collection holds, the longest first."""
    db, found = store.reading(), set[str]()
    for table in db.table_names():
        for row in db[table].rows:
            found |= {value for value in row.values() if isinstance(value, str)}
    lines = {line.strip() for text in found for line in text.splitlines() if len(line) < 200}
    return sorted((each for each in lines if len(each) > 1), key=len, reverse=True)


@pytest.mark.usefixtures("_marked")
def test_no_page_says_a_word_outside_the_catalogue(example: Store) -> None:
    held = ChangeSettings(language=MARKED)
    give(example, held)
    app, db = create_app(example, now=lambda: NOW), example.reading()
    uids = [watch.uid for watch in register.every_watch(db)] + [sensor.uid for sensor in sensors.sensors(db)]
    own, found, figures = _own(example), [], 0
    for path, page in every_answer(app, uids):
        assert f'lang="{MARKED}"' in page
        shown = _Shown(page)
        figures += shown.figures
        found += _unsaid(shown, path, own)
    assert figures > 3
    assert not found, "\n".join(dict.fromkeys(found))


def _unsaid(shown: _Shown, path: str, own: list[str]) -> list[str]:
    return [
        f"{path}: {left!r} in {text.strip()[:150]!r}" for text in shown.texts if (left := _outside(text, own))
    ]  # fmt: skip


@pytest.mark.usefixtures("_marked")
def test_nor_does_a_page_that_could_not_take_something(example: Store) -> None:
    give(example, ChangeSettings(language=MARKED))
    browser, own = client(example), _own(example)
    uid = register.watches(example.reading())[0].uid
    found = []
    for path, fields in WRONG.items():
        answer = browser.post(path.format(uid=uid), data=fields)
        assert answer.status_code in {404, 405, 422}, path
        assert "⟦" in answer.text
        found += _unsaid(_Shown(answer.text), path, [*fields.values(), *own])
    assert not found, "\n".join(found)


@pytest.mark.usefixtures("_marked")
def test_no_help_does(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(languages.ASKED_FOR, MARKED)
    begin_to_speak()
    found = [left for text in _helps(make_parser()) if (left := _outside(text, []))]
    assert not found, found


def _helps(parser: ArgumentParser) -> Iterator[str]:
    """Every text of a help that is no name of a command, of an option, or of a word they take."""
    yield re.sub(r"(?m)^  [^⟧]*", "", f"{parser.description}\n{parser.epilog}")
    yield parser.format_usage().partition("going")[0]
    for group in parser._action_groups:
        yield f"{group.title} {group.description or ''}" if group._group_actions else ""
        for action in group._group_actions:
            yield action.help or ""
            if isinstance(action, _SubParsersAction):
                yield from (each.help or "" for each in action._choices_actions)
                yield from (text for each in action.choices.values() for text in _helps(each))


@pytest.mark.usefixtures("_marked")
def test_nor_does_the_command_line(
    filled: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(filled, tmp_path / "data")
    monkeypatch.setenv(languages.ASKED_FOR, MARKED)
    monkeypatch.setenv("GOING_DATA", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)
    with closing(open_collection(tmp_path / "data", NOW)) as store:
        own, found = _own(store), []
    for words in (shlex.split(verb.example)[1:] for verb in VERBS if verb.name not in LASTING):
        main(words)
        said = "".join(capsys.readouterr())
        if not said.lstrip().startswith("{"):
            left = _outside(said, [*sorted(words, key=len, reverse=True), *own])
            found += [f"{words}: {left!r} in {said[:300]!r}"] if left else []
    assert not found, "\n".join(found)
