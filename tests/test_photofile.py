"""What is taken for a photograph, and how it comes to its file."""

import hashlib
from pathlib import Path

import pytest

from tests.dials import JPEG, PDF, WEBP, picture, png
from tracker.errors import BadInput, Unavailable
from tracker.photofile import MOST_BYTES, attachable, keep, photograph, place, portrait


@pytest.mark.parametrize(
    ("data", "media_type"),
    [(JPEG, "image/jpeg"), (png(), "image/png"), (WEBP, "image/jpeg")],
    ids=["jpeg", "png", "webp"],
)
def test_a_photograph_is_known_by_its_first_bytes(data: bytes, media_type: str) -> None:
    found = photograph(data)
    assert (found.media_type, found.sha256) == (media_type, hashlib.sha256(found.data).hexdigest())


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff\xd8", b"<svg onload='x'/>", b"<html>", b"GIF89a", b"RIFF\x20\x00\x00\x00WAVE"],
    ids=["nothing", "too short", "svg", "html", "gif", "sound"],
)
def test_anything_else_is_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(BadInput) as caught:
        photograph(data)
    assert caught.value.sentence == "This file is not a photograph that can be shown. JPEG, PNG and WebP are taken."
    assert caught.value.field == "photo"


def test_what_a_phone_makes_and_few_browsers_show_is_told_with_what_to_do() -> None:
    with pytest.raises(BadInput) as caught:
        photograph(b"\0\0\0\x24ftypheic" + b"\0" * 24)
    assert caught.value.sentence == (
        "This photograph is in the form HEIC, which can't be read here. Have the phone send or save it as JPEG."
    )


def test_a_portrait_is_the_same_picture_twice() -> None:
    found = portrait(picture("PNG", 2400, 1200))
    assert (found.large.media_type, found.small.media_type) == ("image/jpeg", "image/jpeg")
    assert len(found.small.data) < len(found.large.data)
    with pytest.raises(BadInput):
        portrait(PDF)


def test_a_pdf_is_no_photograph_and_can_be_attached() -> None:
    with pytest.raises(BadInput):
        photograph(PDF)
    found = attachable(PDF)
    assert (found.media_type, found.sha256) == ("application/pdf", hashlib.sha256(PDF).hexdigest())
    assert attachable(JPEG) == photograph(JPEG)


def test_twelve_megabytes_are_taken_and_no_byte_more() -> None:
    assert photograph(JPEG.ljust(MOST_BYTES, b"\0")) == photograph(JPEG)
    with pytest.raises(BadInput) as caught:
        photograph(JPEG.ljust(MOST_BYTES + 1, b"\0"))
    assert caught.value.sentence == "This photograph is too large. At most 12 megabytes are taken."


def test_the_same_photograph_twice_is_one_file(tmp_path: Path) -> None:
    for data in (JPEG, png(), JPEG):
        keep(tmp_path, photograph(data))
    assert sorted(file.read_bytes() for file in (tmp_path / "files").iterdir()) == sorted(
        [photograph(JPEG).data, photograph(png()).data]
    )


def test_a_disk_that_refuses_is_told(tmp_path: Path) -> None:
    (tmp_path / "files").write_text("in the way")
    with pytest.raises(Unavailable) as caught:
        keep(tmp_path, photograph(JPEG))
    assert caught.value.sentence == f"The file can't be kept in {tmp_path / 'files'}: File exists."


def test_what_a_kill_left_half_written_is_not_taken_for_the_photograph(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(_: int) -> None:
        raise KeyboardInterrupt

    found = photograph(JPEG)
    with monkeypatch.context() as patch:
        patch.setattr("tracker.photofile.os.fsync", stop)
        with pytest.raises(KeyboardInterrupt):
            keep(tmp_path, found)
    assert not place(tmp_path, found.sha256).exists()
    keep(tmp_path, found)
    assert place(tmp_path, found.sha256).read_bytes() == found.data
