from pathlib import Path

import pytest

from tracker.errors import BadInput, NotFound, Unavailable
from tracker.fileform.reading import a_moment, parse_json, read_json


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('{"runs": [}', "a.json is not JSON: line 1, column 11."),
        ('{\n "now_years": 1,\n}', "a.json is not JSON: line 3, column 1."),
        ("", "a.json is not JSON: line 1, column 1."),
        ('{"runs": [], "runs": []}', "The key “runs” is there twice in one object."),
        ('{"now_years": NaN}', "NaN is not a number JSON knows."),
        ('{"now_years": -Infinity}', "-Infinity is not a number JSON knows."),
        ("[" * 100_000, "a.json is not JSON that can be read: it nests too deep or has a number too long."),
        ("9" * 5_000, "a.json is not JSON that can be read: it nests too deep or has a number too long."),
    ],
)
def test_what_is_not_json_is_refused_with_its_place(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_json(text, name="a.json")
    assert refused.value.sentence == sentence


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match=r"There is no file .*nowhere\.json\."):
        read_json(str(tmp_path / "nowhere.json"))


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(Unavailable, match=r"can't be read"):
        read_json(str(tmp_path))


def test_a_file_in_another_encoding_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_bytes(b'{"\xff": 1}')
    with pytest.raises(BadInput, match=r"is not text in UTF-8"):
        read_json(str(tmp_path / "a.json"))


@pytest.mark.parametrize(
    "text", ["2026-05-01T00:00:00Z", "2026-05-01", "2026-05-01T00:00", "2026-05-01T02:00:00+02:00"]
)
def test_without_a_zone_a_moment_is_utc(text: str) -> None:
    assert a_moment(text, "/now").isoformat() == "2026-05-01T00:00:00+00:00"
