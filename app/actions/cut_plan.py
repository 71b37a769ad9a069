"""Printing the cut plan of a job as it stands now."""

from datetime import date

from app.actions.database import Database
from app.actions.price import shop
from app.actions.takeoff import work_out
from app.documents.cut_plan import cut_plan_pdf
from app.documents.records import CutPlanInputs


def print_cut_plan(db: Database, job_id: int, today: date) -> tuple[str, bytes]:
    """A file name and the PDF; NotFound, Refused while the shop is empty."""
    worked = work_out(db, job_id, today)
    sheet = worked.sheet
    printed = cut_plan_pdf(
        CutPlanInputs(shop(db).firm, sheet.job, sheet.number, worked.answer.takeoff, today)
    )
    return f"{sheet.number}-cut-plan.pdf".replace('"', ""), printed
