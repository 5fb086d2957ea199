"""Photographs for tests: whole, small, each another."""

import struct
import zlib

JPEG = b"\xff\xd8\xff\xe0" + b"a dial" * 9
WEBP = b"RIFF\x20\x00\x00\x00WEBPVP8 " + b"a dial" * 9


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
