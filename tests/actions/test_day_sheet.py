"""The day sheet: everything for one day, on one page."""

import io
from datetime import date

import pypdf

from app.actions.database import Database
from app.actions.day_sheet import day_sheet, day_sheet_paper
from app.actions.days import set_days
from app.actions.records import StaffMember
from app.actions.takeoff import work_out
from app.build.day_parts import cuts_on, day_parts
from tests.actions.conftest import NOW

TODAY = date(2026, 5, 4)


def test_all_days_together_cut_every_stick_once_and_do_every_task_whole(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    set_days(db, owner, job_id, 1, "south", date(2026, 6, 1), NOW)
    answer = work_out(db, job_id, TODAY).answer
    sheets = [day_sheet(db, job_id, entry.on, TODAY) for entry in answer.days.days]
    cut = [stick for sheet in sheets for _, stick, _ in sheet.cuts]
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
    (shown,) = sheet.cut_outs
    numbers = {board.rpartition("-")[2] for _, stick, later in sheet.cuts for board, _ in stick.pieces}
    assert all("<svg" in drawn for drawn in (shown.svg, shown.key))
    assert any(f">{number}</text>" in shown.svg for number in numbers)
    assert any("Drains" in line for line in sheet.work.cautions)
    assert sheet.missing


def test_every_board_is_laid_on_one_day_and_cut_no_later(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    worked = work_out(db, job_id, TODAY)
    takeoff, plan = worked.answer.takeoff, worked.answer.days
    parts = day_parts(worked.sheet.job, takeoff, plan)
    cut_on: dict[str, date] = {}
    for entry in plan.days:
        for _, stick, later in cuts_on(takeoff.totals.cut_plans, parts, entry.on):
            for board in (*(name for name, _ in stick.pieces), *(name for name, _, _ in stick.beside)):
                cut_on[board] = entry.on
                assert (parts.on_day[board] > entry.on) == (board in later)
    laid = {piece.id for piece in takeoff.layout.pieces} & parts.on_day.keys()
    assert laid == {piece.id for piece in takeoff.layout.pieces}
    assert all(cut_on[board] <= parts.on_day[board] for board in laid & cut_on.keys())
    assert laid <= cut_on.keys()


def test_each_paper_is_one_page(db: Database, owner: StaffMember, job_id: int) -> None:
    plan = work_out(db, job_id, TODAY).answer.days
    starts = {planned.task.phase: planned.start_on for planned in plan.tasks}
    for phase in ("preparation", "frame", "boards"):
        name, made = day_sheet_paper(db, job_id, starts[phase], TODAY)
        assert name.endswith(f"{starts[phase].isoformat()}.pdf")
        (page,) = pypdf.PdfReader(io.BytesIO(made)).pages
        assert "Where it lies" in page.extract_text()
    assert "Cut today" in page.extract_text()
