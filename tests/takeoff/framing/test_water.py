import pytest

from app.job.choices import Limits
from app.job.plan import DeckLevel
from app.takeoff.framing.water import is_across_fall
from tests.builders import a_deck_field, a_job, a_plan, a_survey, choices
from tests.takeoff.framing.framed import framed


def a_deck(angle_deg: float, least_free_mm: float, level_mm: float = -52.0):
    """At −52 mm the underside lies at −110: 12 mm over the roof at y = 3900, 86 mm at y = 200."""
    return framed(
        a_job(
            survey=a_survey(drains=()),
            plan=a_plan(level=DeckLevel(level_mm=level_mm), deck_fields=(a_deck_field(angle_deg=angle_deg),)),
            materials=choices(limits=Limits(least_free_height_mm=least_free_mm)),
        )
    )


def test_timber_across_the_fall_with_too_little_beneath_is_found_with_its_place() -> None:
    deck = a_deck(angle_deg=90, least_free_mm=20)
    found = next(finding for finding in deck.framing.findings if finding.code == "framing.water-dammed")
    assert found.value == pytest.approx(-110 - (-200 + 0.02 * (3900 - 44.5)), abs=0.1)
    assert found.limit == 20
    assert found.at_mm is not None
    assert found.at_mm[1] > 3000


def test_timber_along_the_fall_lets_water_run() -> None:
    along, across = a_deck(0, 40), a_deck(90, 40)

    def dams(deck) -> int:
        texts = [found.text for found in deck.framing.findings if found.code == "framing.water-dammed"]
        return int(texts[0].split(maxsplit=1)[0]) if texts else 0

    # The rim at the high side lies across the fall either way; sleepers along it do not.
    assert 0 < dams(along) <= 3 < dams(across)


def test_enough_room_beneath_is_no_finding() -> None:
    assert "framing.water-dammed" not in a_deck(90, 10).codes()


def test_timber_nearly_along_the_fall_counts_as_along() -> None:
    assert not is_across_fall((0, 0), (100, 1000), 270.0)
    assert is_across_fall((0, 0), (500, 1000), 270.0)
