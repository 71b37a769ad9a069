"""A firm's first day: its own name over the example price list, assemblies, rules, crews and wording."""

from dataclasses import replace
from datetime import datetime

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.actions.shop_files import put_shop_files, read_shop_files
from app.agreement.records import Party
from app.agreement.terms import NO_TERMS
from app.settings import SEED_DATA
from app.store import audit
from app.store import shop as shop_store


def open_with_examples(db: Database, staff: StaffMember, firm: Party, now: datetime) -> None:
    """Enter the firm for the first time, with example values that it replaces by its own; Refused."""
    if staff.role != "owner":
        raise Refused("Only the owner enters the firm.")
    if not firm.name.strip():
        raise Refused("The firm needs a name; it stands on every document.")
    # The example's particulars are no firm's own: they stay blank until it has entered its own.
    files = replace(read_shop_files(SEED_DATA / "shop"), firm=firm, terms=NO_TERMS)
    with db.write() as session:
        if shop_store.has_shop(session):
            raise Refused("The shop is entered already.")
        put_shop_files(session, files, staff.name, now)
        audit.note(session, now, staff.name, f"entered {firm.name}, with example values", "shop", (None, 1))
