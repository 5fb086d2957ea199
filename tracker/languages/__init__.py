"""The languages there are: beside this file, one JSON file for each but English, named by its code of BCP 47.

`{"name": "…", "sentences": {"English sentence": "its translation"}}`; a sentence left empty or out is said in English.
"""

import json
import os
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, cast

from tracker.words import Speech, speak

FOLDER = Path(__file__).parent
ENGLISH = "en"
ASKED_FOR = "GOING_LANGUAGE"
"""The language of the command line, before or in place of the collection's."""


def languages() -> dict[str, str]:
    """What each language calls itself, by code; English first."""
    codes = sorted(path.stem for path in FOLDER.glob("*.json"))
    return {ENGLISH: "English"} | {code: str(_file(FOLDER, code)["name"]) for code in codes}


def sentences(code: str) -> Mapping[str, str]:
    """The sentences of a language by the English ones; of one that is not there, none."""
    if code == ENGLISH or code not in languages():
        return {}
    return cast("dict[str, str]", _file(FOLDER, code)["sentences"])


def begin_to_speak() -> None:
    """Speak the language that the terminal asks for, where it asks for one."""
    code = os.environ.get(ASKED_FOR, ENGLISH)
    speak(Speech(code if code in languages() else ENGLISH, sentences(code)))


@cache
def _file(folder: Path, code: str) -> dict[str, Any]:
    return cast("dict[str, Any]", json.loads((folder / f"{code}.json").read_text(encoding="utf-8")))
