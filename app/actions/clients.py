"""Clients: who asks."""

from dataclasses import asdict
from datetime import datetime

from app.actions.database import Database
from app.actions.errors import NotFound, Refused, Saved, StaleSave
from app.actions.never_kept import refuse_numbers
from app.actions.records import ClientCard, StaffMember
from app.store import audit, clients


def list_clients(db: Database) -> tuple[ClientCard, ...]:
    """All clients by name."""
    with db.read() as session:
        return clients.list_clients(session)


def client(db: Database, client_id: int) -> ClientCard:
    """One client; NotFound."""
    with db.read() as session:
        found = clients.find_client(session, client_id)
    if found is None:
        raise NotFound("client", client_id)
    return found


def add_client(
    db: Database, staff: StaffMember, name: str, email: str, phone: str, address: str, now: datetime
) -> int:
    """Add a client and give the id; Refused without a name."""
    details = _tidy(name, email, phone, address)
    with db.write() as session:
        client_id = clients.add_client(session, **details)
        audit.note(
            session, now, staff.name, f"added client {details['name']}", f"client:{client_id}", (None, 1)
        )
    return client_id


def change_client(  # noqa: PLR0913 - each detail of a client is named where it is changed
    db: Database,
    staff: StaffMember,
    client_id: int,
    version: int,
    *,
    name: str,
    email: str,
    phone: str,
    address: str,
    now: datetime,
) -> int:
    """Change a client and give the new version; StaleSave when somebody was first."""
    details = _tidy(name, email, phone, address)
    subject = f"client:{client_id}"
    with db.write() as session:
        kept = clients.find_client(session, client_id, for_change=True)
        if kept is None:
            raise NotFound("client", client_id)
        old = {key: value for key, value in asdict(kept).items() if key in details}
        if kept.version != version:
            by = audit.who_saved(session, subject, kept.version)
            raise StaleSave(Saved(kept.version, by, old), Saved(version, staff.name, dict(details)))
        changed = [key for key in details if details[key] != old[key]]
        if not changed:
            return version
        clients.change_client(session, ClientCard(client_id, version + 1, **details))
        what = f"changed {', '.join(changed)}"
        audit.note(session, now, staff.name, what, subject, (version, version + 1))
    return version + 1


def _tidy(name: str, email: str, phone: str, address: str) -> dict[str, str]:
    if not name.strip():
        raise Refused("A client needs a name.")
    if email.strip() and "@" not in email:
        raise Refused(f"{email!r} is not an e-mail address; leave it empty or give one like ada@example.org.")
    refuse_numbers(name, email, phone, address)
    return {
        "name": name.strip()[:120],
        "email": email.strip()[:254],
        "phone": phone.strip()[:60],
        "address": address.strip(),
    }
