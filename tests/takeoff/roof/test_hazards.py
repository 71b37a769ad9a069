"""Where one can fall although no guard was surveyed."""

from app.job import survey as s
from app.takeoff.roof.hazards import fall_hazards
from tests.builders import a_deck_field, a_job, a_plan, a_survey


def codes(**survey: object) -> list[tuple[str, str]]:
    return [(f.code, f.place) for f in fall_hazards(a_job(a_survey(**survey)))]


def test_a_roof_described_all_round_without_holes_is_quiet() -> None:
    assert codes() == []


def test_every_side_near_a_deck_that_no_edge_describes_is_asked_about() -> None:
    edges = a_survey().edges
    assert codes(edges=edges[1:]) == [("roof.edge-unknown", "job")]
    assert len(codes(edges=())) == 4


def test_a_side_far_from_every_deck_is_not_asked_about() -> None:
    near_west = a_deck_field(outline_mm=((200, 1500), (2000, 1500), (2000, 2500), (200, 2500)))
    job = a_job(a_survey(edges=()), a_plan(deck_fields=(near_west,)))
    sides = [f.at_mm for f in fall_hazards(job)]
    assert sides == [(0.0, 2000.0)]


def test_a_hole_in_the_roof_near_a_deck_is_a_check_and_one_far_off_is_not() -> None:
    near = ((5850, 1000), (5950, 1000), (5950, 1500), (5850, 1500))
    assert codes(holes_mm=(near,)) == [("roof.hole-edge", "job")]
    far = a_deck_field(outline_mm=((200, 200), (2000, 200), (2000, 3900), (200, 3900)))
    job = a_job(a_survey(holes_mm=(near,)), a_plan(deck_fields=(far,)))
    assert "roof.hole-edge" not in {f.code for f in fall_hazards(job)}


def test_a_skylight_beside_a_deck_is_a_check_and_a_vent_is_not() -> None:
    for kind, expected in (("skylight", 1), ("hatch", 1), ("vent", 0)):
        thing = s.Penetration(id="it", kind=kind, x_mm=3000, y_mm=2000, width_mm=600)
        assert codes(penetrations=(thing,)) == [("roof.skylight", "it")] * expected


def test_without_a_deck_nobody_walks_there() -> None:
    assert fall_hazards(a_job(a_survey(edges=()), a_plan(deck_fields=()))) == ()
