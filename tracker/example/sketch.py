"""Made pictures of the example: a mainspring let out of its drum, drawn by its spiral; the dials of two watches."""

import math
from io import BytesIO

from PIL import Image, ImageDraw

SIZE = (480, 360)
TURNS = 5.5


def spring_sketch() -> bytes:
    """The picture as PNG, the same bytes each time."""
    image = Image.new("L", SIZE, 244)
    pen = ImageDraw.Draw(image)
    middle = SIZE[0] / 2, SIZE[1] / 2
    steps = [step / 400 for step in range(401)]
    # Coils lie wider apart outwards, as those of a spring that has been let out.
    spiral = [
        (
            middle[0] + _radius(at) * math.cos(math.tau * TURNS * at),
            middle[1] + _radius(at) * math.sin(math.tau * TURNS * at),
        )
        for at in steps
    ]
    pen.line(spiral, fill=40, width=4, joint="curve")
    pen.ellipse([middle[0] - 16, middle[1] - 16, middle[0] + 16, middle[1] + 16], outline=40, width=2)
    written = BytesIO()
    image.save(written, "PNG")
    return written.getvalue()


def dial_sketch(ground: str, paper: str, at: tuple[int, int]) -> bytes:
    """A plain dial on a table, its hands at this hour and minute, as JPEG; the same bytes each time."""
    image = Image.new("RGB", SIZE, ground)
    pen, (x, y), reach = ImageDraw.Draw(image), (SIZE[0] / 2, SIZE[1] / 2), 150.0
    pen.ellipse([x - reach, y - reach, x + reach, y + reach], fill=paper, outline="#3c3a36", width=8)
    for hour in range(12):
        pen.line([_on(hour / 12, 0.82 * reach), _on(hour / 12, 0.92 * reach)], fill="#3c3a36", width=4)
    hour, minute = at
    pen.line([_on(0, 0), _on((hour + minute / 60) / 12, 0.5 * reach)], fill="#22303a", width=9)
    pen.line([_on(0, 0), _on(minute / 60, 0.78 * reach)], fill="#22303a", width=5)
    written = BytesIO()
    image.save(written, "JPEG", quality=88)
    return written.getvalue()


def _on(turned: float, reach: float) -> tuple[float, float]:
    """A point so far from the middle, so much of a turn after twelve."""
    return SIZE[0] / 2 + reach * math.sin(math.tau * turned), SIZE[1] / 2 - reach * math.cos(math.tau * turned)


def _radius(at: float) -> float:
    return 16.0 + 145.0 * math.pow(at, 1.3)
