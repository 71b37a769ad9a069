"""Whatever is set by hand on a price: undone, everything is as before; undone twice, as it was set."""

from decimal import Decimal
from itertools import pairwise

import pytest

from app.actions.database import Database
from app.actions.errors import Refused, StaleSave
from app.actions.estimate_edits import (
    add_line,
    set_detail,
    set_options,
    set_override,
    set_range,
    set_usual_ranges,
    take_back_override,
    undo,
)
from app.actions.jobs import job_sheet
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.pricing.job_pricing import (
    OVERRIDE_FIELDS,
    AddedLine,
    JobPricing,
    Option,
    OtherBoard,
    Override,
    Range,
)
from app.pricing.records import Estimate
from app.store.job_pricing import add_pricing
from tests.actions.conftest import NOW

TODAY = NOW.date()


def priced(db: Database, job_id: int) -> Estimate:
    return work_out(db, job_id, TODAY).answer.estimate


def edit(db: Database, owner: StaffMember, job_id: int, number: int, version: int) -> int:
    """One of many edits, each of another kind than the one before."""
    lines = priced(db, job_id).lines
    line = lines[number * 7 % len(lines)]
    kind = number % (len(OVERRIDE_FIELDS) + 4)
    if kind < len(OVERRIDE_FIELDS):
        one = Override(line.id, OVERRIDE_FIELDS[kind], Decimal(number + 1), "as agreed on site")
        return set_override(db, owner, job_id, version, one, NOW)
    if kind == len(OVERRIDE_FIELDS):
        added = AddedLine(f"a{number}", "allowance", "boards", "Lamp", Decimal(90), "supply only")
        return add_line(db, owner, job_id, version, added, NOW)
    if kind == len(OVERRIDE_FIELDS) + 1:
        return set_range(db, owner, job_id, version, Range(line.id, Decimal(number), Decimal(30)), NOW)
    if kind == len(OVERRIDE_FIELDS) + 2:
        return set_usual_ranges(db, owner, job_id, version, lines, NOW)
    return set_detail(db, owner, job_id, version, "line" if number % 2 else "total", NOW)


def test_an_edit_undone_leaves_pricing_and_price_as_before_whatever_stood_before_it(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    version = 0
    for number in range(18):
        before, price = job_sheet(db, job_id).pricing, priced(db, job_id)
        after = edit(db, owner, job_id, number, version)
        changed, moved = job_sheet(db, job_id).pricing, priced(db, job_id)
        if after == version:  # it stood so already
            continue
        version = undo(db, owner, job_id, after, NOW)
        assert (job_sheet(db, job_id).pricing, priced(db, job_id)) == (before, price)
        version = undo(db, owner, job_id, version, NOW)
        assert (job_sheet(db, job_id).pricing, priced(db, job_id)) == (changed, moved)


def test_a_figure_set_over_another_comes_back_when_undone(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    line = priced(db, job_id).lines[0].id
    versions = [0]
    for value in ("10", "20"):
        one = Override(line, "cost", Decimal(value), "as agreed")
        versions.append(set_override(db, owner, job_id, versions[-1], one, NOW))
    assert all(later == earlier + 1 for earlier, later in pairwise(versions))
    last = undo(db, owner, job_id, versions[-1], NOW)
    assert priced(db, job_id).lines[0].cost == 10
    take_back_override(db, owner, job_id, last, line, "cost", NOW)
    assert job_sheet(db, job_id).pricing.overrides == ()
    assert priced(db, job_id).lines[0].was is None


def test_nothing_set_cannot_be_undone_and_an_old_page_does_not_undo_another_change(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    with pytest.raises(Refused, match="nothing to undo"):
        undo(db, owner, job_id, 0, NOW)
    set_detail(db, owner, job_id, 0, "line", NOW)
    set_detail(db, owner, job_id, 1, "total", NOW)
    with pytest.raises(StaleSave):
        undo(db, owner, job_id, 1, NOW)


def test_what_the_client_chose_by_signing_is_not_undone(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    field = job_sheet(db, job_id).job.plan.deck_fields[0]
    option = Option("same", "The same board", boards=(OtherBoard(field.id, field.board),))
    set_options(db, owner, job_id, 0, (option,), NOW)
    with db.write() as session:
        add_pricing(session, job_id, 2, JobPricing(options=(option,), ticked=("same",)), "the client", NOW)
    with pytest.raises(Refused, match="by signing"):
        undo(db, owner, job_id, 2, NOW)
    version = set_detail(db, owner, job_id, 2, "line", NOW)
    undo(db, owner, job_id, version, NOW)
    assert job_sheet(db, job_id).pricing == JobPricing(options=(option,), ticked=("same",))
