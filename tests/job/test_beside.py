"""What stands beside which roof edge, measured on the demo roof."""

from app.job.beside import edges_beside
from app.pricing.conditions import BY, place_facts
from app.pricing.records import EDGES
from tests import demo


def test_each_thing_knows_the_edges_it_stands_beside() -> None:
    found = edges_beside(demo.demo_job())
    assert found["screen"] == ("wall",)  # clads an existing wall
    assert found["herbs-1"] == ("parapet",)
    assert set(found["main"]) == {"parapet", "wall"}


def test_far_enough_off_nothing_is_beside_and_near_enough_everything() -> None:
    job = demo.demo_job()
    kinds = {edge.kind for edge in job.survey.edges}
    assert all(set(found) == kinds for found in edges_beside(job, 1e6).values())
    nearer, further = edges_beside(job, 100.0), edges_beside(job, 2000.0)
    assert all(set(nearer[place]) <= set(further[place]) for place in nearer)


def test_every_kind_of_roof_edge_can_be_a_condition() -> None:
    assert set(BY.values()) <= set(EDGES)
    answer = demo.answer()
    facts = {fact.place: fact for fact in place_facts(demo.demo_job(), answer.takeoff.layout)}
    assert "by a parapet" in facts["bench"].edges
    assert facts["bench"].fastening == "face"
    assert all(set(fact.edges) <= set(EDGES) for fact in facts.values())
