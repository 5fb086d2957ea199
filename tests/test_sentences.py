"""The file of a language begins with every sentence, and is brought up to date without losing what was translated."""

import json
from pathlib import Path

import pytest

from tests.sentences import sentences, write
from tracker import languages
from tracker.languages import begin_to_speak
from tracker.words import Speech, say, speak, speech


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(languages, "FOLDER", tmp_path)
    return tmp_path


def test_sentences_are_found_wherever_they_stand() -> None:
    found = sentences()
    assert (
        {
            "This form was opened too long ago or in another session; nothing was changed. Open it again.",  # called with itself
            "Note that watches were wound.",  # in a table of commands
            "3H uppermost",  # in a table of labels
            "going, probably",  # a word of a type
            "How shall it work for you?",  # in a template
        }
        <= set(found)
    )


def test_what_is_translated_stays_what_is_new_is_empty_what_is_gone_goes(folder: Path) -> None:
    path = write("de")
    held = json.loads(path.read_text())
    assert (held["name"], held["sentences"]["Undo"]) == ("de", "")
    held["sentences"] = {"Undo": "Zurück", "said no more": "nicht mehr"}
    path.write_text(json.dumps(held | {"name": "Deutsch"}))
    write("de")
    held = json.loads((folder / "de.json").read_text())
    assert (held["name"], held["sentences"]["Undo"], held["sentences"]["Save"]) == ("Deutsch", "Zurück", "")
    assert "said no more" not in held["sentences"]


def test_a_file_is_a_language_at_once(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (folder / "pt-BR.json").write_text(json.dumps({"name": "Português", "sentences": {"Undo": "Desfazer", "Save": ""}}))
    assert languages.languages() == {"en": "English", "pt-BR": "Português"}
    monkeypatch.setenv(languages.ASKED_FOR, "pt-BR")
    begin_to_speak()
    assert (speech().language, say("Undo"), say("Save")) == ("pt-BR", "Desfazer", "Save")
    speak(Speech())


def test_a_language_that_is_not_there_is_english(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert languages.sentences("../../etc/passwd") == languages.sentences("en") == {}
    monkeypatch.setenv(languages.ASKED_FOR, "qxx")
    begin_to_speak()
    assert (speech().language, say("Undo"), [*folder.iterdir()]) == ("en", "Undo", [])
