"""Clients: who asks."""

from datetime import datetime

from app.actions.database import Database
from app.actions.records import ClientCard, StaffMember


def list_clients(db: Database) -> tuple[ClientCard, ...]:
    """All clients by name."""
    raise NotImplementedError


def client(db: Database, client_id: int) -> ClientCard:
    """One client; NotFound."""
    raise NotImplementedError


def add_client(
    db: Database, staff: StaffMember, name: str, email: str, phone: str, address: str, now: datetime
) -> int:
    """Add a client and give its id."""
    raise NotImplementedError


def change_client(
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
    raise NotImplementedError
