"""What a job costs against its estimate: orders, bills and hours by phase."""

from datetime import date
from decimal import Decimal

import pytest

from app.actions.costs import CostView, cost_view, note_cost
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.log import add_entry, hours
from app.actions.plans import dated
from app.actions.purchases import place_order
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.build.progress import outlook_by_phase
from app.pricing.labour import labour_rate
from app.pricing.money import to_cents
from tests.actions.conftest import NOW

TODAY = date(2026, 5, 4)


def view(db: Database, job_id: int, done: dict[str, float] | None = None) -> CostView:
    worked = dated(db, work_out(db, job_id, TODAY))
    outlook = outlook_by_phase(hours(db, job_id, TODAY), done or {})
    return cost_view(db, worked, outlook, done or {})


def test_what_is_planned_is_the_direct_cost_of_the_estimate_before_tax(db: Database, job_id: int) -> None:
    estimate = work_out(db, job_id, TODAY).answer.estimate
    seen = view(db, job_id)
    assert seen.whole.planned == estimate.direct - estimate.purchase_tax
    assert seen.whole.at_finish == seen.whole.planned
    assert {row.kind: row.planned for row in seen.kinds}["material"] == estimate.material


def test_orders_come_up_at_the_estimates_prices_in_their_phases(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    lines = work_out(db, job_id, TODAY).answer.days.orders
    for supplier in dict.fromkeys(line.supplier for line in lines):
        place_order(db, owner, job_id, supplier, NOW)
    seen = view(db, job_id)
    material = {row.kind: row for row in seen.kinds}["material"]
    assert material.ordered == sum((Decimal(line.cost) for line in lines), Decimal(0))
    assert all(row.ordered == 0 for row in seen.rows if row.kind != "material")


def test_bills_and_hours_tell_what_it_costs_in_the_end(db: Database, owner: StaffMember, job_id: int) -> None:
    before = view(db, job_id).whole
    note_cost(db, owner, job_id, ("equipment", "carry-up", "Hoist hire"), Decimal("910.40"), TODAY, "", NOW)
    note_cost(db, owner, job_id, ("equipment", "carry-up", "Hoist hire"), Decimal("-10.40"), TODAY, "", NOW)
    add_entry(db, owner, job_id, TODAY, "frame", NOW, hours_h=20.0, phase="frame")
    seen = view(db, job_id, {"frame": 50.0})
    cells = {(row.phase, row.kind): row for row in seen.rows}
    hired, worked = cells["carry-up", "equipment"], cells["frame", "labour"]
    assert (hired.spent, hired.at_finish) == (Decimal("900.00"), max(hired.planned, Decimal("900.00")))
    rate = labour_rate(work_out(db, job_id, TODAY).prices.rules)
    assert worked.spent == to_cents(20 * rate)
    assert abs(worked.at_finish - 40 * rate) < Decimal("0.10")  # its lines are each rounded to the cent
    moved = (hired.at_finish - hired.planned) + (worked.at_finish - worked.planned)
    assert seen.whole.at_finish - before.at_finish == moved
    begun = view(db, job_id)
    first = {(row.phase, row.kind): row for row in begun.rows}["frame", "labour"]
    assert first.at_finish == first.planned  # fewer hours than planned, and nothing said to be done
    finished = view(db, job_id, {"carry-up": 100.0})
    spent = {(row.phase, row.kind): row for row in finished.rows}["carry-up", "equipment"]
    assert (spent.to_finish, spent.at_finish) == (Decimal(0), Decimal("900.00"))


@pytest.mark.parametrize(
    ("what", "amount", "words"),
    [
        (("song", "frame", "A"), "1.00", "no kind of bill song"),
        (("labour", "frame", "A"), "1.00", "no kind of bill labour"),
        (("material", "dance", "A"), "1.00", "no phase dance"),
        (("material", "frame", " "), "1.00", "whose bill"),
        (("material", "frame", "A"), "1.005", "to the cent"),
        (("material", "frame", "A"), "0", "to the cent"),
        (("material", "frame", "A"), "NaN", "to the cent"),
        (("material", "frame", "A"), "-1.00", "below nothing"),
    ],
)
def test_a_bill_that_cannot_be_is_refused(
    db: Database, owner: StaffMember, job_id: int, what: tuple[str, str, str], amount: str, words: str
) -> None:
    with pytest.raises(Refused, match=words):
        note_cost(db, owner, job_id, what, Decimal(amount), TODAY, "", NOW)
