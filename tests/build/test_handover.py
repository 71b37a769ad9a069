"""The handover file."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from app.build.handover import PAPERS, HandoverFacts, handover_list, is_complete
from app.build.punch_list import punch_state
from app.build.records import HoldPoint, HoldSignature, PunchItem

DAY = date(2026, 7, 6)
SIGNED = HoldSignature("gas final", "T. Weir", datetime(2026, 7, 2, tzinfo=UTC))
POINT = HoldPoint("gas final", "Gas work passed", "building office", DAY, "signed", (), SIGNED)
DONE = HandoverFacts(
    is_signed=True,
    bases=frozenset({"frame.pads", "gas.stubs", "power.outlets", "light.fixtures", "roughin.trench"}),
    papers=frozenset(code for code, _, _ in PAPERS),
    hold_points=(POINT,),
    punch=punch_state([], DAY),
)


def test_a_file_with_everything_is_complete() -> None:
    assert is_complete(handover_list(DONE))


@pytest.mark.parametrize("paper", [code for code, _, _ in PAPERS])
def test_each_paper_that_is_missing_is_named(paper: str) -> None:
    items = handover_list(replace(DONE, papers=DONE.papers - {paper}))
    assert [item.code for item in items if not item.is_present] == [paper]


def test_papers_for_work_the_job_does_not_have_are_not_asked_for() -> None:
    codes = {item.code for item in handover_list(replace(DONE, bases=frozenset({"deck.area"})))}
    assert not codes & {"gas-test", "electrical-test", "lighting-sheet"}


def test_an_unsigned_hold_point_and_an_open_punch_item_are_named() -> None:
    held = replace(POINT, state="due", signature=None)
    left = punch_state([PunchItem("1", "Loose plug by the door", "deck", DAY)], DAY)
    items = {item.code: item for item in handover_list(replace(DONE, hold_points=(held,), punch=left))}
    assert items["hold-points"].text.endswith("still open: Gas work passed")
    assert items["punch-list"].text.endswith("still open: Loose plug by the door")
    assert not is_complete(items.values())


def test_a_job_never_signed_is_not_complete() -> None:
    assert not is_complete(handover_list(replace(DONE, is_signed=False)))


def test_a_paper_nobody_knows_is_a_fault_of_the_program() -> None:
    with pytest.raises(ValueError, match="poem"):
        handover_list(replace(DONE, papers=frozenset({"poem"})))
