"""The states of a job and the moves between them."""

from itertools import pairwise

import pytest

from app.agreement.states import MOVES, STATES, JobFacts, JobState, why_not

ALL_WELL = JobFacts(
    has_survey=True, has_price=True, has_live_offer=True, is_signed=True, reason="the client moved away"
)


@pytest.mark.parametrize("now", STATES)
@pytest.mark.parametrize("then", STATES)
def test_a_move_is_allowed_only_along_the_order_of_work(now: JobState, then: JobState) -> None:
    is_allowed = not why_not(now, then, ALL_WELL)
    assert is_allowed == (then in MOVES[now])


def test_the_whole_way_can_be_walked() -> None:
    way = STATES[:-1]
    assert all(not why_not(now, then, ALL_WELL) for now, then in pairwise(way))


@pytest.mark.parametrize(
    ("now", "then", "facts", "said"),
    [
        ("enquiry", "surveyed", JobFacts(), "no survey"),
        ("surveyed", "priced", JobFacts(), "no estimate"),
        ("priced", "offered", JobFacts(open_stops=("The pad is too tall.",)), "The pad is too tall."),
        ("priced", "offered", JobFacts(open_stops=("One.", "Two.")), "2 stops stand: One. Two."),
        ("priced", "offered", JobFacts(), "No proposal"),
        ("offered", "signed", JobFacts(), "not signed"),
        ("signed", "on the roof", JobFacts(), "not signed"),
        (
            "signed",
            "on the roof",
            JobFacts(is_signed=True, is_withdrawal_running=True),
            "may still cancel",
        ),
        ("on the roof", "handed over", JobFacts(open_hold_points=("gas final",)), "gas final"),
        ("offered", "let go", JobFacts(reason="  "), "Say why"),
    ],
)
def test_a_refusal_says_what_is_missing(now: JobState, then: JobState, facts: JobFacts, said: str) -> None:
    assert said in why_not(now, then, facts)


def test_a_step_back_before_signing_needs_nothing() -> None:
    assert not why_not("offered", "priced", JobFacts())
    assert not why_not("priced", "surveyed", JobFacts())


def test_a_job_let_go_can_be_taken_up_again_but_one_handed_over_stays() -> None:
    assert not why_not("let go", "enquiry", JobFacts())
    assert "stays so" in why_not("handed over", "enquiry", ALL_WELL)
    assert "already" in why_not("priced", "priced", ALL_WELL)
