"""A picture as it is kept: upright, no larger than it is ever shown, and nothing in it but what is seen.

A phone writes into its photographs where and when they were taken and by which camera (Exif, CIPA DC-008; XMP, ISO 16684-1;
comments). None of that is carried over: what is kept is drawn anew from the points of the picture alone.
"""

import io
import threading
from typing import TYPE_CHECKING, Literal

from tracker.errors import BadInput
from tracker.words import say

if TYPE_CHECKING:
    from PIL.Image import Image

PictureType = Literal["image/jpeg", "image/png"]

LONG_SIDE = 2_000
"""Points on the long side: the hands of a dial and the small print of a bill can be read; common practice, no source."""
SMALL_SIDE = 200
"""Points on the long side of the small one that lists show."""
MOST_POINTS = 64_000_000
"""Of a JPEG, which is unpacked no larger than is needed. A phone's camera makes up to 50 million."""
MOST_POINTS_WHOLE = 25_000_000
"""Of PNG and WebP, which are unpacked whole: this many take up to 400 megabytes of memory (WebP, measured)."""
MOST_PNG_BYTES = 2_000_000
"""A drawing or a screen is smaller so; a photograph that came as PNG is kept as JPEG."""
QUALITY = 85

MILLION = 1_000_000

_KINDS = ("JPEG", "PNG", "WEBP")
_BY_STEPS = ("JPEG", "MPO")
"""What can be unpacked at an eighth, a quarter or half of its size; MPO is a JPEG with more than one picture."""
_one_at_a_time = threading.Lock()
"""On a small machine two at once would be too many."""


def plain(data: bytes, *, field: str) -> tuple[bytes, PictureType]:
    """These bytes of a JPEG, PNG or WebP as a picture to keep, at most `LONG_SIDE` points long; a PNG stays one where it is small.

    Raises:
        BadInput: it is broken, or has too many points; the sentence is about `field`.
    """
    with _one_at_a_time:
        drawn, lossless = _drawn(data, field)
        if lossless:
            packed = _packed(drawn, "PNG")
            if len(packed) <= MOST_PNG_BYTES:
                return packed, "image/png"
        return _packed(drawn, "JPEG"), "image/jpeg"


def plain_and_small(data: bytes, *, field: str) -> tuple[bytes, bytes]:
    """As `plain`, both as JPEG: the picture, and the same at most `SMALL_SIDE` points long.

    Raises:
        BadInput: it is broken, or has too many points; the sentence is about `field`.
    """
    with _one_at_a_time:
        drawn, _ = _drawn(data, field)
        large = _packed(drawn, "JPEG")
        drawn.thumbnail((SMALL_SIDE, SMALL_SIDE))
        return large, _packed(drawn, "JPEG")


def _drawn(data: bytes, field: str) -> "tuple[Image, bool]":
    """The points of the picture, upright, in the colours of every screen, with nothing beside them; whether it was lossless."""
    from PIL import Image, ImageOps  # noqa: PLC0415 -- heavy, and most pages need none of it

    try:
        with Image.open(io.BytesIO(data), formats=_KINDS) as opened:
            _check_points(opened, field)
            lossless = opened.format == "PNG"
            opened.draft("RGB", (LONG_SIDE, LONG_SIDE))  # a JPEG is unpacked no larger than is needed
            # Made smaller before anything else: every step on the whole of it would hold it twice.
            whole = opened.convert("RGBA") if opened.mode in {"1", "P"} else opened
            whole.thumbnail((LONG_SIDE, LONG_SIDE))
            drawn = _in_common_colours(ImageOps.exif_transpose(whole))
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise _too_many(field) from error
    except BadInput:
        raise
    except Exception as error:  # a file made to break its reader raises anything
        raise BadInput(
            say("This picture is broken: it can't be read to its end."),
            field=field,
            accepted=say("Send it again, or take another."),
        ) from error
    drawn.info.clear()  # comments and profiles that would be written again
    return drawn, lossless


def _check_points(opened: "Image", field: str) -> None:
    if opened.width * opened.height > (MOST_POINTS if opened.format in _BY_STEPS else MOST_POINTS_WHOLE):
        raise _too_many(field)


def _too_many(field: str) -> BadInput:
    return BadInput(
        say("This picture has too many points."),
        field=field,
        accepted=say(
            "Up to {n} million are taken, as JPEG up to {most}.",
            n=MOST_POINTS_WHOLE // MILLION,
            most=MOST_POINTS // MILLION,
        ),
    )


def _in_common_colours(picture: "Image") -> "Image":
    """In sRGB (IEC 61966-2-1), which needs no profile to be told; where the profile can't be read, as the points stand."""
    from PIL import ImageCms  # noqa: PLC0415 -- see above

    profile, see_through = picture.info.get("icc_profile"), picture.has_transparency_data
    plain_mode = picture.convert("RGBA" if see_through else "RGB")
    if not profile or picture.mode not in {"RGB", "RGBA"}:
        return plain_mode
    try:
        converted = ImageCms.profileToProfile(
            plain_mode, ImageCms.ImageCmsProfile(io.BytesIO(profile)), ImageCms.createProfile("sRGB")
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return plain_mode
    return converted or plain_mode


def _packed(drawn: "Image", form: Literal["PNG", "JPEG"]) -> bytes:
    from PIL import Image  # noqa: PLC0415 -- see above

    written = io.BytesIO()
    if form == "PNG":
        drawn.save(written, "PNG")
    else:
        if drawn.mode == "RGBA":
            white = Image.new("RGB", drawn.size, "white")
            white.paste(drawn, mask=drawn.getchannel("A"))
            drawn = white
        drawn.save(written, "JPEG", quality=QUALITY)
    return written.getvalue()
