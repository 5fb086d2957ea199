"""A made picture that goes with a service of the example: a mainspring let out of its drum, drawn by its spiral."""

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


def _radius(at: float) -> float:
    return 16.0 + 145.0 * math.pow(at, 1.3)
