"""The day sheet: everything for one day, on one page."""

import io
from datetime import date

import pypdf

from app.actions.database import Database
from app.actions.day_sheet import day_sheet, day_sheet_paper
from app.actions.days import set_days
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from tests.actions.conftest import NOW

TODAY = date(2026, 5, 4)


def test_all_days_together_cut_every_stick_once_and_do_every_task_whole(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    set_days(db, owner, job_id, 1, "south", date(2026, 6, 1), NOW)
    answer = work_out(db, job_id, TODAY).answer
    sheets = [day_sheet(db, job_id, entry.on, TODAY) for entry in answer.days.days]
    cut = [stick for sheet in sheets for _, stick in sheet.cuts]
    assert len(cut) == sum(len(plan.sticks) for plan in answer.takeoff.totals.cut_plans)
    done = {task.code: task.until_share for sheet in sheets for task in sheet.work.tasks}
    assert set(done) == {planned.task.code for planned in answer.days.tasks}
    assert all(abs(share - 1) < 1e-6 for share in done.values())


def test_a_day_of_boards_says_what_to_cut_to_bring_and_to_watch(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    plan = work_out(db, job_id, TODAY).answer.days
    on = next(planned.start_on for planned in plan.tasks if planned.task.code == "boards")
    sheet = day_sheet(db, job_id, on, TODAY)
    assert sheet.cuts
    assert "<svg" in sheet.svg
    assert any("Drains" in line for line in sheet.work.cautions)
    assert sheet.missing


def test_the_paper_is_one_page(db: Database, owner: StaffMember, job_id: int) -> None:
    plan = work_out(db, job_id, TODAY).answer.days
    on = next(planned.start_on for planned in plan.tasks if planned.task.code == "boards")
    name, made = day_sheet_paper(db, job_id, on, TODAY)
    assert name.endswith(f"{on.isoformat()}.pdf")
    pages = pypdf.PdfReader(io.BytesIO(made)).pages
    assert len(pages) == 1
    assert "Cut today" in pages[0].extract_text()
