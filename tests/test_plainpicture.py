"""What is kept of a picture: its points, upright, and not where, when and by what it was taken."""

import io
import os
import random
import struct
import zlib
from typing import Any

import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from tests.dials import picture
from tracker.errors import BadInput
from tracker.plainpicture import LONG_SIDE, SMALL_SIDE, plain, plain_and_small

ORIENTATION, MAKER, TAKEN, PLACE, LATITUDE = 0x0112, 0x010F, 0x0132, 0x8825, 2
SECRETS = (
    b"Exif",
    b"a camera",
    b"2026:11:25",
    b"a remark",
    b"my address",
    b"ICC_PROFILE",
    b"iCCP",
    b"tEXt",
    b"eXIf",
    b"http",
)


def exif(turned: int = 1) -> Image.Exif:
    found = Image.Exif()
    found[ORIENTATION], found[MAKER], found[TAKEN] = turned, "a camera", "2026:11:25 07:30:00"
    found.get_ifd(PLACE)[LATITUDE] = (54.0, 10.0, 0.0)
    return found


def opened(data: bytes) -> Image.Image:
    found = Image.open(io.BytesIO(data))
    found.load()
    return found


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_of_place_camera_and_time_is_left(form: str) -> None:
    remarks = PngInfo()
    remarks.add_text("where", "my address")
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    more: dict[str, dict[str, Any]] = {
        "PNG": {"pnginfo": remarks},
        "JPEG": {"comment": "a remark", "xmp": b"http://ns.adobe.com/xap/1.0/"},
        "WEBP": {},
    }
    sent = picture(form, exif=exif(), icc_profile=profile, dpi=(300, 300), **more[form])
    assert any(secret in sent for secret in SECRETS)
    for kept in (plain(sent, field="photo")[0], *plain_and_small(sent, field="photo")):
        assert [secret for secret in SECRETS if secret in kept] == []
        assert not opened(kept).getexif()


@pytest.mark.parametrize("turned", range(1, 9))
def test_it_stands_upright_however_the_camera_was_held(turned: int) -> None:
    """The eight orientations of Exif (CIPA DC-008, 4.6.4): what was red above stays red above once it is turned."""
    ways = {2: 0, 3: 3, 4: 1, 5: 5, 6: 2, 7: 6, 8: 4}
    upright = Image.open(io.BytesIO(picture("PNG")))
    held = upright.transpose(Image.Transpose(ways[turned])) if turned in ways else upright
    sent = io.BytesIO()
    held.save(sent, "PNG", exif=exif(turned))
    kept = opened(plain(sent.getvalue(), field="photo")[0])
    assert kept.size == (64, 48)
    assert (kept.getpixel((32, 2)), kept.getpixel((32, 45))) == ((255, 0, 0), (0, 0, 255))


def test_it_is_no_larger_than_it_is_shown_and_never_made_larger() -> None:
    large, small = plain_and_small(picture("JPEG", 4032, 3024), field="photo")
    assert (opened(large).size, opened(small).size) == ((LONG_SIDE, 1500), (SMALL_SIDE, 150))
    assert (LONG_SIDE, SMALL_SIDE) == (2_000, 200)
    assert opened(plain(picture("WEBP"), field="photo")[0]).size == (64, 48)


def test_the_colours_of_a_wide_screen_are_brought_to_those_of_every_screen() -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    kept = opened(plain(picture("PNG", icc_profile=lab), field="photo")[0])
    assert kept.getpixel((32, 2)) == (255, 0, 0)
    assert plain(picture("PNG", icc_profile=b"no profile"), field="photo") == plain(picture("PNG"), field="photo")


def test_what_is_seen_through_is_white_on_a_photograph() -> None:
    clear, sent = Image.new("RGBA", (20, 20), (9, 9, 9, 0)), io.BytesIO()
    clear.save(sent, "PNG")
    assert opened(plain_and_small(sent.getvalue(), field="photo")[0]).getpixel((3, 3)) == (255, 255, 255)
    assert plain(sent.getvalue(), field="photo")[1] == "image/png"


def test_a_photograph_as_png_is_kept_as_jpeg() -> None:
    sent = io.BytesIO()
    Image.merge("RGB", [Image.effect_noise((900, 900), 90) for _ in range(3)]).save(sent, "PNG", compress_level=1)
    assert plain(sent.getvalue(), field="photo")[1] == "image/jpeg"


def bomb(width: int, height: int) -> bytes:
    """A PNG of a few hundred bytes that says it has so many points."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 1000)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks
    )


@pytest.mark.parametrize(("width", "height"), [(5_001, 5_000), (10_000, 10_000), (60_000, 60_000)])
def test_what_is_built_to_fill_the_memory_is_refused_before_it_is_unpacked(width: int, height: int) -> None:
    with pytest.raises(BadInput) as caught:
        plain(bomb(width, height), field="photo")
    assert caught.value.sentence == "This picture has too many points. Up to 25 million are taken, as JPEG up to 64."
    assert caught.value.field == "photo"


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.03, 0.5, 0.95])
def test_a_picture_cut_short_is_told(form: str, share: float) -> None:
    whole = picture(form, 400, 300)
    with pytest.raises(BadInput) as caught:
        plain(whole[: int(len(whole) * share)], field="file")
    assert (
        caught.value.sentence == "This picture is broken: it can't be read to its end. Send it again, or take another."
    )
    assert caught.value.field == "file"


def test_a_jpeg_of_a_large_camera_is_taken_and_one_beyond_any_is_not() -> None:
    assert opened(plain(picture("JPEG", 7_000, 7_000), field="photo")[0]).size == (2_000, 2_000)
    with pytest.raises(BadInput):
        plain(picture("JPEG", 8_001, 8_000), field="photo")


def test_a_picture_of_few_colours_is_kept_as_it_looks() -> None:
    sent, few = io.BytesIO(), Image.open(io.BytesIO(picture("PNG"))).convert("P", palette=Image.Palette.ADAPTIVE)
    few.save(sent, "PNG", exif=exif(3))
    kept = opened(plain(sent.getvalue(), field="photo")[0]).convert("RGB")
    assert (kept.getpixel((32, 2)), kept.getpixel((32, 45))) == ((0, 0, 255), (255, 0, 0))


TRIES = int(os.environ.get("GOING_EXAMPLES", "20"))


@pytest.mark.filterwarnings("ignore")  # the reader of pictures warns of what is odd in them
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_whatever_bytes_were_changed_it_is_a_picture_without_secrets_or_refused(form: str) -> None:
    chance, whole = random.Random(form), picture(form, 120, 90, exif=exif(6))
    for _ in range(TRIES):
        sent = bytearray(whole)
        for _ in range(chance.randint(1, 12)):
            sent[chance.randrange(len(sent))] = chance.randrange(256)
        try:
            kept, _ = plain(bytes(sent), field="photo")
        except BadInput:
            continue
        assert max(opened(kept).size) <= LONG_SIDE
        assert [secret for secret in SECRETS if secret in kept] == []
