"""Photos for print: all of them, each made smaller until together they keep within a bound."""

import base64
import hashlib
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

# Longest side in pixels, tried in this order until all photos together are small enough.
STEPS_PX = (800, 640, 480, 360, 240)
MOST_BYTES = 12_000_000
QUALITY = 75
ON_A_PAGE = 6


@dataclass(frozen=True, slots=True)
class Photo:
    """One photo as it is printed, and the SHA-256 of the one on file."""

    words: str
    sha256: str
    jpeg: bytes


@dataclass(frozen=True, slots=True)
class Printed:
    """One photo on a page: its number, its words and its picture as an address of its own."""

    number: int
    words: str
    source: str


def small_photos(given: Iterable[tuple[str, bytes]], most_bytes: int = MOST_BYTES) -> tuple[Photo, ...]:
    """Make photos (words, JPEG) smaller until they keep within so many bytes; none is left out.

    Past the smallest step they may take more. Only the small ones are held in memory.
    """
    kept: list[Photo] = []
    step = 0
    for words, jpeg in given:
        kept.append(Photo(words, hashlib.sha256(jpeg).hexdigest(), _smaller(jpeg, STEPS_PX[step])))
        while step + 1 < len(STEPS_PX) and _bytes_of(kept) > most_bytes:
            step += 1
            kept = [Photo(one.words, one.sha256, _smaller(one.jpeg, STEPS_PX[step])) for one in kept]
    return tuple(kept)


def contact_sheets(photos: Sequence[Photo]) -> tuple[tuple[Printed, ...], ...]:
    """Give the photos page by page, numbered from one."""
    printed = [
        Printed(number, one.words, f"data:image/jpeg;base64,{base64.b64encode(one.jpeg).decode()}")
        for number, one in enumerate(photos, 1)
    ]
    return tuple(tuple(printed[at : at + ON_A_PAGE]) for at in range(0, len(printed), ON_A_PAGE))


def _bytes_of(photos: Iterable[Photo]) -> int:
    return sum(len(one.jpeg) for one in photos)


def _smaller(jpeg: bytes, longest_px: int) -> bytes:
    """Give a photo with its longest side no longer than asked; one that is small already as it is."""
    from PIL import Image  # noqa: PLC0415 - only documents with photos pay for it

    with Image.open(io.BytesIO(jpeg), formats=("JPEG",)) as opened:
        if max(opened.size) <= longest_px:
            return jpeg
        opened.draft("RGB", (longest_px, longest_px))  # the decoder leaves out what would be thrown away
        small = opened.convert("RGB")
    small.thumbnail((longest_px, longest_px))
    written = io.BytesIO()
    small.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()
