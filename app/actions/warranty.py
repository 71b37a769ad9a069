"""How long the firm warrants what: set once, printed in every handover file with the days it ends."""

from collections.abc import Iterable
from datetime import datetime

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.build.warranty import CLASSES, MOST_MONTHS, WarrantyTerm
from app.store import audit, handover


def warranty_terms(db: Database) -> dict[str, WarrantyTerm]:
    """What the firm warrants, by class."""
    with db.read() as session:
        return handover.warranty_terms(session)


def save_warranty(db: Database, staff: StaffMember, terms: Iterable[WarrantyTerm], now: datetime) -> None:
    """Set what the firm warrants; Refused for a class there is not, or a length that cannot be."""
    rows = tuple(terms)
    names = {code: what for code, what, _, _ in CLASSES}
    for term in rows:
        if term.code not in names:
            raise Refused(f"There is no class {term.code}; there are {', '.join(names)}.")
        if term.months is not None and not 1 <= term.months <= MOST_MONTHS:
            words = f"{names[term.code]}: {term.months} months cannot be; give 1 to {MOST_MONTHS}"
            raise Refused(f"{words}, or nothing.")
    with db.write() as session:
        handover.put_warranty_terms(session, rows, staff.name, now)
        set_now = ", ".join(f"{term.code} {term.months or 'as on paper'}" for term in rows)
        audit.note(session, now, staff.name, f"set the warranty in months: {set_now}"[:400], "shop")
