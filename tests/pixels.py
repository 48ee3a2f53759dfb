"""Pages as grey pixels, kept small, and held against a kept picture."""

import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2  # type: ignore[import-untyped]

Grey = np.ndarray[Any, np.dtype[np.float64]]
WIDE = 240  # dots of a kept picture
HEAD = b"\x89PNG\r\n\x1a\n"
# Glyph edges differ from one machine to another; a box that moved or a line that is gone does not
# stay under these (of 255): on the whole, and in the worst tile.
MEAN, TILE = 0.5, 15.0
SIDE = 12  # dots of a tile


def pages(pdf: bytes) -> list[Grey]:
    """Every page of a document in grey, `WIDE` dots wide."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [_page(document[n]) for n in range(len(document))]
    finally:
        document.close()


def save(path: Path, grey: Grey) -> None:
    """Keep a picture as a grey PNG."""
    rows = np.round(grey).astype(np.uint8)
    raw = b"".join(b"\0" + row.tobytes() for row in rows)
    head = struct.pack(">IIBBBBB", rows.shape[1], rows.shape[0], 8, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(raw, 9)), (b"IEND", b""))
    path.write_bytes(HEAD + b"".join(_chunk(*chunk) for chunk in chunks))


def load(path: Path) -> Grey:
    """A picture kept by `save`."""
    data = path.read_bytes()
    wide, high = struct.unpack(">II", data[16:24])
    at = data.index(b"IDAT")
    (size,) = struct.unpack(">I", data[at - 4 : at])
    raw = np.frombuffer(zlib.decompress(data[at + 4 : at + 4 + size]), np.uint8)
    return raw.reshape(high, wide + 1)[:, 1:].astype(np.float64)


def unlike(one: Grey, other: Grey) -> str:
    """In what they differ beyond the edges of letters; empty when they are alike."""
    if one.shape != other.shape:
        return f"{one.shape} against {other.shape}"
    off = np.abs(one - other)
    high, wide = (side // SIDE * SIDE for side in off.shape)
    tiles = off[:high, :wide].reshape(high // SIDE, SIDE, wide // SIDE, SIDE).mean(axis=(1, 3))
    if off.mean() <= MEAN and tiles.max() <= TILE:
        return ""
    worst = np.unravel_index(int(tiles.argmax()), tiles.shape)
    return f"mean {off.mean():.1f}, worst tile {tiles.max():.0f} at {worst}"


def _page(page: pypdfium2.PdfPage) -> Grey:
    fine = 4
    image = page.render(scale=WIDE * fine / page.get_width(), grayscale=True).to_numpy()
    grey = image.reshape(image.shape[0], image.shape[1]).astype(np.float64)
    high, wide = (side // fine for side in grey.shape)
    small: Grey = (
        grey[: high * fine, : wide * fine].reshape(high, fine, wide, fine).mean(axis=(1, 3))
    )
    return small


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
