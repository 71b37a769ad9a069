"""Round the offer: what it still lacks, and the link sent by mail."""

from datetime import datetime

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.mail import Letter, send
from app.actions.records import StaffMember, WorkedOut
from app.actions.sheet import job_sheet, subject
from app.actions.shop import shop
from app.agreement.checklist import OfferFacts, Point, checklist
from app.agreement.records import Party
from app.store import audit


def offer_points(db: Database, worked: WorkedOut) -> tuple[Point, ...]:
    """Hold the offer as it would go out now against the list of what it should say."""
    firm, client = shop(db), worked.sheet.client
    return checklist(
        OfferFacts(
            firm=firm.firm,
            client=Party(client.name, client.address, client.phone, client.email),
            site_address=client.address,
            terms=firm.terms,
            wording=firm.wording,
            has_withdrawal=bool(firm.withdrawal),
            has_deposit_cap=bool(firm.deposit_cap),
            has_stages=worked.answer.estimate.total > 0,
            has_days=bool(worked.answer.days.days),
            names_boards=bool(worked.sheet.job.choices.boards),
        )
    )


def send_link(db: Database, staff: StaffMember, job_id: int, address: str, now: datetime) -> None:
    """Send a client its link by mail; Refused when there is no address or the server does not take it."""
    sheet, firm = job_sheet(db, job_id), shop(db).firm
    if not sheet.client.email:
        raise Refused("The client has no e-mail address; copy the link and send it yourself.")
    text = (
        f"{sheet.client.name},\n\nyour proposal for {sheet.title} ({sheet.number}) lies here to read, to ask "
        f"about and to sign:\n\n{address}\n\nThe link is yours alone; it runs out after some "
        f"days.\n\n{firm.name}\n{firm.phone}\n"
    )
    send(db, Letter(sheet.client.email, f"Proposal {sheet.number} by {firm.name}", text, job_id), now)
    with db.write() as session:
        audit.note(session, now, staff.name, f"sent the link to {sheet.client.email}", subject(job_id))
