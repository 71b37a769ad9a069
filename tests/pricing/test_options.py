"""Options: what can be ticked together, and the job file of each combination."""

from typing import Any

import pytest

from app.job.errors import InputErrors
from app.pricing.job_pricing import Option, OtherBoard
from app.pricing.options import combinations_of, option_faults, with_options

PLAN: dict[str, Any] = {
    "plan": {
        "deck_fields": [{"id": "main", "board": "pine"}],
        "feature_walls": [{"id": "screen", "cladding": "pine"}],
        "fixtures": [{"id": "spot-1"}, {"id": "spot-2"}],
        "transformers": [{"id": "box", "fixtures": ["spot-1", "spot-2"]}],
    }
}
LIGHTS = Option("lights", "Lights", adds=("spot-1", "spot-2", "box"))
LARCH = Option("larch", "Wall in larch", boards=(OtherBoard("screen", "larch"),), excludes=("oak",))
OAK = Option("oak", "Wall in oak", boards=(OtherBoard("screen", "oak"),), excludes=("larch",))
FEWER = Option("fewer", "One spot less", leaves_out=("spot-2",), needs=("lights",))
ALL = (LIGHTS, LARCH, OAK, FEWER)


def test_needs_and_exclusions_leave_nine_of_sixteen_combinations() -> None:
    """By hand: {none, larch, oak} × {none, lights, lights and fewer}."""
    found = combinations_of(ALL)
    assert len(found) == 9
    assert found[0] == ()
    assert not [one for one in found if {"larch", "oak"} <= set(one)]
    assert not [one for one in found if "fewer" in one and "lights" not in one]


def test_what_an_option_adds_is_there_only_when_ticked_and_nothing_else_moves() -> None:
    plain = with_options(PLAN, ALL, ())["plan"]
    assert plain["fixtures"] == plain["transformers"] == []
    lit = with_options(PLAN, ALL, ("lights",))
    assert lit == PLAN
    fewer = with_options(PLAN, ALL, ("lights", "fewer"))["plan"]
    assert fewer["transformers"][0]["fixtures"] == ["spot-1"]
    oak = with_options(PLAN, ALL, ("lights", "oak"))["plan"]
    assert oak["feature_walls"] == [{"id": "screen", "cladding": "oak"}]
    assert PLAN["plan"]["feature_walls"][0]["cladding"] == "pine"


def test_an_option_on_something_that_is_not_there_is_told_by_name() -> None:
    with pytest.raises(InputErrors) as refusal:
        with_options(PLAN, (Option("x", "X", leaves_out=("gone",)),), ())
    assert refusal.value.errors[0].value == "gone"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ((LIGHTS, LIGHTS), "code of its own"),
        ((LARCH,), "another option"),
        ((Option("empty", "Empty"),), "Say what it adds"),
        (tuple(Option(f"o{n}", "x", adds=("main",)) for n in range(5)), "At most 16"),
        (tuple(Option(f"o{n}", "x", adds=("main",)) for n in range(40)), "At most 16"),
    ],
)
def test_faulty_options_are_told(options: tuple[Option, ...], said: str) -> None:
    assert said in option_faults(options)[0].wanted


def test_four_free_options_are_worked_out_whole() -> None:
    options = tuple(Option(f"o{n}", "x", adds=("main",)) for n in range(4))
    assert option_faults(options) == ()
    assert len(combinations_of(options)) == 16
