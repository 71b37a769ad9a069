"""Photos for print: none left out, each as small as keeps all of them within the bound."""

import hashlib
import io

import numpy as np
import pytest
from PIL import Image

from app.documents.contact_sheet import ON_A_PAGE, STEPS_PX, contact_sheets, small_photos


def a_photo(width_px: int, height_px: int, seed: int = 1) -> bytes:
    """Noise, which packs as badly as a picture can."""
    pixels = np.random.default_rng(seed).integers(0, 255, (height_px, width_px, 3), dtype=np.uint8)
    written = io.BytesIO()
    Image.fromarray(pixels).save(written, "JPEG", quality=80)
    return written.getvalue()


def longest(jpeg: bytes) -> int:
    with Image.open(io.BytesIO(jpeg)) as opened:
        return max(opened.size)


@pytest.mark.parametrize("steps", range(1, len(STEPS_PX)))
def test_all_photos_keep_within_the_bound_by_getting_smaller(steps: int) -> None:
    """A byte less than they take at one step sends all of them to the next."""
    given = [(f"photo {number}", a_photo(1200, 900, number)) for number in range(3)]
    made = small_photos(given)
    for step in range(steps):
        assert {longest(photo.jpeg) for photo in made} == {STEPS_PX[step]}
        most_bytes = sum(len(photo.jpeg) for photo in made) - 1
        made = small_photos(given, most_bytes)
        assert sum(len(photo.jpeg) for photo in made) <= most_bytes
    assert {longest(photo.jpeg) for photo in made} == {STEPS_PX[steps]}
    assert [photo.words for photo in made] == [words for words, _ in given]
    assert [photo.sha256 for photo in made] == [hashlib.sha256(jpeg).hexdigest() for _, jpeg in given]


def test_none_is_left_out_past_the_smallest_step() -> None:
    made = small_photos([(str(n), a_photo(600, 800, n)) for n in range(3)], 1000)
    assert [longest(photo.jpeg) for photo in made] == [STEPS_PX[-1]] * 3


def test_a_small_photo_stays_as_it_is() -> None:
    jpeg = a_photo(300, 200)
    assert small_photos([("door", jpeg)])[0].jpeg == jpeg


def test_pages_hold_six_each_and_number_on() -> None:
    photos = small_photos([(str(n), a_photo(30, 20, n)) for n in range(ON_A_PAGE + 1)])
    first, second = contact_sheets(photos)
    assert [one.number for one in (*first, *second)] == list(range(1, ON_A_PAGE + 2))
    assert contact_sheets(()) == ()
