"""The punch list."""

from datetime import date
from typing import Any

from app.build.punch_list import punch_state
from app.build.records import PunchItem

RAISED = date(2026, 7, 1)


def an_item(code: str, **changes: Any) -> PunchItem:
    return PunchItem(id=code, text=f"Put {code} right", place="deck", raised_on=RAISED, **changes)


def test_open_items_stand_by_due_day_and_those_without_one_last() -> None:
    state = punch_state(
        [an_item("a"), an_item("b", due_on=date(2026, 7, 9)), an_item("c", due_on=date(2026, 7, 4))],
        date(2026, 7, 5),
    )
    assert [item.id for item in state.open] == ["c", "b", "a"]
    assert [item.id for item in state.overdue] == ["c"]
    assert not state.is_clear


def test_an_item_is_not_overdue_on_its_day() -> None:
    assert not punch_state([an_item("a", due_on=RAISED)], RAISED).overdue


def test_a_list_with_everything_closed_is_clear() -> None:
    state = punch_state(
        [an_item("a", closed_on=date(2026, 7, 8)), an_item("b", closed_on=date(2026, 7, 6))], RAISED
    )
    assert state.is_clear
    assert [item.id for item in state.closed] == ["b", "a"]
    assert punch_state([], RAISED).is_clear
