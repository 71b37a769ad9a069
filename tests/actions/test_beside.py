"""What is kept beside an answer is what would be made of it now."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

from app.actions import cash, price_risk
from app.actions.beside import _MOST, Beside
from app.actions.by_hand import save_work_rules, work_rules
from app.actions.cash import cash_view
from app.actions.database import Database
from app.actions.estimate_edits import set_usual_ranges
from app.actions.price import set_price
from app.actions.price_risk import how_sure
from app.actions.records import StaffMember, WorkedOut
from app.actions.shop import save_rules, shop
from app.actions.takeoff import work_out
from app.schedule.work_rules import WorkRules

NOW, TODAY = datetime(2026, 5, 4, 12, 0, tzinfo=UTC), date(2026, 5, 4)


def is_made_anew(db: Database, worked: WorkedOut, cap: str = "") -> None:
    """What is given, kept or not, is what is made of it now."""
    assert how_sure(db, worked) == price_risk._drawn(worked, work_rules(db))
    assert cash_view(worked, cap) == cash._day_by_day(worked, cap)


def test_draws_and_cash_are_made_once_for_an_answer_and_anew_for_the_next(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    worked = work_out(db, job_id, TODAY)
    assert how_sure(db, worked) is how_sure(db, work_out(db, job_id, TODAY))
    assert cash_view(worked, "") is cash_view(work_out(db, job_id, TODAY), "")
    is_made_anew(db, worked)

    set_usual_ranges(db, owner, job_id, worked.sheet.pricing_version, worked.answer.estimate.lines, NOW)
    ranged = work_out(db, job_id, TODAY)
    assert how_sure(db, ranged).price is not None
    is_made_anew(db, ranged)

    wet = replace(work_rules(db), lost_days=(15.0,) * 12)
    save_work_rules(db, owner, wet, NOW)
    assert how_sure(db, ranged) != price_risk._drawn(ranged, WorkRules())
    is_made_anew(db, ranged)

    line = next(line for line in ranged.answer.estimate.lines if line.kind == "material" and line.cost)
    set_price(db, owner, line.item, Decimal(999), TODAY, NOW)
    dearer = work_out(db, job_id, TODAY)
    assert cash_view(dearer, "").deepest < cash_view(ranged, "").deepest
    is_made_anew(db, dearer)

    firm = shop(db)
    save_rules(db, owner, firm.version, replace(firm.rules, profit_pct=firm.rules.profit_pct + 10), NOW)
    asked_more = work_out(db, job_id, TODAY)
    assert cash_view(asked_more, "") != cash_view(dearer, "")
    is_made_anew(db, asked_more)


def test_another_day_and_another_cap_have_a_cash_of_their_own(db: Database, job_id: int) -> None:
    first = work_out(db, job_id, TODAY)
    is_made_anew(db, first, "")
    is_made_anew(db, first, "us-ca")
    assert cash_view(first, "us-ca") != cash_view(first, "")
    later = work_out(db, job_id, date(2026, 5, 11))
    assert cash_view(later, "") != cash_view(first, "")
    is_made_anew(db, later)


def test_no_more_than_a_few_are_kept_and_equal_things_are_not_the_same_thing() -> None:
    kept: Beside[int] = Beside()
    things = [[1], [1]]
    assert kept.of((things[0],), None, lambda: 1) == 1
    assert kept.of((things[1],), None, lambda: 2) == 2
    assert kept.of((things[0],), "more", lambda: 3) == 3
    assert kept.of((things[0],), None, lambda: 4) == 1
    for number in range(_MOST):
        kept.of((number,), None, int)
    assert kept.of((things[0],), None, lambda: 5) == 5
