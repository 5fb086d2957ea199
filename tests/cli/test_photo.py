"""A photograph named in a call."""

from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Going
from tests.dials import JPEG
from tracker.collection import open_collection
from tracker.photofile import photograph
from tracker.store.attachments import by_entry
from tracker.store.log import all_entry_rows


@pytest.fixture
def dial(tmp_path_factory: pytest.TempPathFactory) -> str:
    file = tmp_path_factory.mktemp("camera") / "dial.jpg"
    file.write_bytes(JPEG)
    return str(file)


@pytest.mark.parametrize("words", [("stopped", "Night"), ("wound", "Night", "--had-stopped")], ids=["stopped", "wound"])
def test_a_photograph_comes_with_the_entry(three: Going, folder: Path, dial: str, words: tuple[str, ...]) -> None:
    assert three(*words, "--photo", dial)[0] == 0
    store = open_collection(folder, NOW)
    (row,) = all_entry_rows(store.reading())
    assert [each["media_type"] for each in by_entry(store.reading(), row["watch_uid"])[row["uid"]]] == ["image/jpeg"]
    store.close()
    assert [file.read_bytes() for file in (folder / "files").iterdir()] == [photograph(JPEG).data]
    assert three("undo")[1].startswith("Taken back: ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("stopped", "Night", "Workshop spare"), "A photograph goes with one watch. Name one"),
        (("stopped", "Night", "--on-purpose"), "A photograph of the hands goes with a watch that had stopped."),
        (("wound", "Night", "--was-going"), "A photograph of the hands goes with a watch that had stopped."),
    ],
    ids=["two watches", "on purpose", "going"],
)
def test_one_that_does_not_fit_is_refused(
    three: Going, folder: Path, dial: str, words: tuple[str, ...], said: str
) -> None:
    code, _, told = three(*words, "--photo", dial)
    assert (code, said in told, "--photo" in told) == (2, True, True)
    store = open_collection(folder, NOW)
    assert all_entry_rows(store.reading()) == []
    store.close()


def test_a_file_that_is_not_there_is_told(three: Going) -> None:
    code, _, told = three("stopped", "Night", "--photo", "nowhere.jpg")
    assert (code, "nowhere.jpg can't be read: No such file or directory." in told) == (5, True)
