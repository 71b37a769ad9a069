"""The pictures of the readme show the program as it is."""

import re
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageStat
from playwright.sync_api import Browser

from tests.browser.tour import FOLDER, pictures, served

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

_README = Path(__file__).parents[2] / "README.md"
_GRID = (64, 64)
# Days and prices go on and move a little ink; another sheet differs by more (the last test).
MOST_DIFFERENT = 0.03


def _named() -> set[str]:
    return set(re.findall(r"\.tour/([\w-]+\.png)", _README.read_text(encoding="utf-8")))


def _different(first: Image.Image, second: Image.Image) -> float:
    """How far two pictures are apart, 0 to 1, looked at from afar."""
    grey = [picture.convert("L").resize(_GRID, Image.Resampling.BOX) for picture in (first, second)]
    return ImageStat.Stat(ImageChops.difference(*grey)).mean[0] / 255


def test_the_readme_shows_every_picture_that_is_kept() -> None:
    assert _named() == {path.name for path in FOLDER.glob("*.png")}


def test_pictures_taken_anew_look_like_those_of_the_readme(browser: Browser) -> None:
    with served() as (server, link):
        taken = dict(pictures(browser, server, link))
    assert set(taken) == _named()
    stale = {
        name: round(apart, 3)
        for name, picture in taken.items()
        if (apart := _different(picture, Image.open(FOLDER / name))) > MOST_DIFFERENT
    }
    assert not stale, f"`make tour` takes them anew: {stale}"


def test_a_picture_of_another_sheet_is_told_apart() -> None:
    names = sorted(_named() - {"client.png", "proposal.png"})
    apart = [
        _different(Image.open(FOLDER / first), Image.open(FOLDER / second))
        for first in names
        for second in names
        if first < second
    ]
    assert min(apart) > MOST_DIFFERENT
