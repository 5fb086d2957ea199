"""Photographs for tests: whole, small, each another."""

import io
import struct
import zlib

from PIL import Image


def picture(form: str, width: int = 64, height: int = 48, **how: object) -> bytes:
    """A picture that is red above and blue below, in this form."""
    drawn = Image.new("RGB", (width, height), "red")
    drawn.paste((0, 0, 255), (0, height // 2, width, height))
    written = io.BytesIO()
    drawn.save(written, form, **how)
    return written.getvalue()


JPEG = picture("JPEG")
WEBP = picture("WEBP")


def png(width: int = 240, height: int = 180, grey: int = 90) -> bytes:
    """A grey picture that a browser can show (RFC 2083)."""
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    rows = (b"\x00" + bytes([grey]) * width) * height
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(rows)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks
    )


PDF = b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[]/Count 0>>endobj\ntrailer<</Root 1 0 R>>\n%%EOF\n"
"""The least that is a PDF: no page."""
