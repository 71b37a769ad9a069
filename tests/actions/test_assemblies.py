"""Assemblies at work: rates learned from logs, left or taken over; where a thing is used; trying."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sqlalchemy import text

from app.actions.assemblies import (
    assembly,
    assembly_versions,
    item_used_in,
    leave_rate,
    rates_learned,
    take_over_rate,
    try_on,
    where_used,
)
from app.actions.database import Database
from app.actions.errors import NotFound
from app.actions.jobs import add_job, job_sheet
from app.actions.log import add_entry
from app.actions.price import save_assembly
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.pricing.book_file import read_assemblies
from app.pricing.records import EDGES, Condition
from tests.actions.conftest import NOW

TODAY = NOW.date()


def hand_over(db: Database, owner: StaffMember, job_id: int, hours_h: float) -> None:
    """A job that was built, with so many hours noted on its boards."""
    add_entry(db, owner, job_id, TODAY, "laid boards", NOW, hours_h=hours_h, people=2, phase="boards")
    with db.connection() as connection:  # the way there is tested elsewhere
        connection.execute(text(f"UPDATE jobs SET state = 'handed over' WHERE id = {job_id}"))
        connection.commit()


def test_a_learned_rate_is_taken_over_as_the_next_version(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    hand_over(db, owner, job_id, 90.0)
    rate = next(one for one in rates_learned(db, TODAY) if one.assembly == "lay-deck")
    assert rate.jobs == 1
    assert rate.proposed > rate.rate
    assert take_over_rate(db, owner, "lay-deck", rate.part, TODAY, NOW) == rate.proposed
    newest, before = assembly_versions(db, "lay-deck")[:2]
    assert newest.assembly.parts[rate.part - 1].rate == rate.proposed
    assert before.assembly.parts[rate.part - 1].rate == rate.rate


def test_a_rate_that_is_left_stays_and_is_not_proposed_again_until_another_job_speaks(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    hand_over(db, owner, job_id, 90.0)
    rate = next(one for one in rates_learned(db, TODAY) if one.assembly == "lay-deck")
    assert leave_rate(db, owner, "lay-deck", rate.part, TODAY, NOW) == rate
    assert assembly(db, "lay-deck").parts[rate.part - 1].rate == rate.rate
    assert "lay-deck" not in [one.assembly for one in rates_learned(db, TODAY)]
    assert rates_learned(db, TODAY)  # the others are still proposed
    with pytest.raises(NotFound):
        take_over_rate(db, owner, "lay-deck", rate.part, TODAY, NOW)
    sheet = job_sheet(db, job_id)
    second = add_job(db, owner, sheet.client.id, "Another deck", sheet.document, NOW)
    hand_over(db, owner, second, 70.0)
    again = next(one for one in rates_learned(db, TODAY) if one.assembly == "lay-deck")
    assert again.jobs == 2


def test_an_item_knows_the_jobs_that_buy_it(db: Database, job_id: int) -> None:
    lines = [line for line in work_out(db, job_id, TODAY).answer.estimate.lines if line.item]
    by_assembly = next(line for line in lines if line.assembly == "joist-tape")
    used = item_used_in(db, by_assembly.item, TODAY)
    assert [one.job_id for one in used] == [job_id]
    assert used[0].cost == sum(line.cost for line in lines if line.item == by_assembly.item)
    assert item_used_in(db, "NOTHING-SUCH", TODAY) == ()
    assert [one.job_id for one in where_used(db, "joist-tape", TODAY)] == [job_id]


@pytest.mark.parametrize("edge", EDGES)
def test_under_every_condition_what_is_priced_and_what_is_told_make_the_whole(
    db: Database, job_id: int, edge: str
) -> None:
    old = assembly(db, "lay-deck")
    tried = try_on(db, replace(old, when=(Condition("edge", edge),)), job_id, TODAY)
    moved = [move for move in tried.moves if move.id.startswith("boards/lay-deck/")]
    whole = next(
        line for line in work_out(db, job_id, TODAY).answer.estimate.lines if line.id == "boards/lay-deck/1"
    )
    holds_everywhere = not moved
    left_out = [said for said in tried.findings if "conditions of its assemblies all leave it out" in said]
    assert holds_everywhere != bool(left_out)
    assert all(move.after is None or move.after < whole.cost for move in moved)


def test_a_rate_of_production_is_kept_as_it_was_given(db: Database, owner: StaffMember) -> None:
    part = {"kind": "labour", "text": "Lay", "people": "2", "output": "3.5"}
    new = {"code": "lay-2", "name": "Lay", "basis": "deck.area", "phase": "boards", "source": "own"}
    save_assembly(db, owner, read_assemblies({"assemblies": [{**new, "parts": [part]}]})[0], NOW)
    kept = assembly(db, "lay-2").parts[0]
    assert (kept.rate, kept.people, kept.output) == (Decimal("0.5714"), Decimal(2), Decimal("3.5"))
