"""Clients."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.store.models import ClientRow
from app.store.records import ClientCard


def list_clients(session: Session) -> tuple[ClientCard, ...]:
    """Give all clients by name."""
    return tuple(card(row) for row in session.scalars(select(ClientRow).order_by(ClientRow.name)))


def find_client(session: Session, client_id: int, *, for_change: bool = False) -> ClientCard | None:
    """Give one client, or None; locked until the end of the transaction when it is to be changed."""
    row = session.get(ClientRow, client_id, with_for_update=for_change)
    return card(row) if row else None


def add_client(session: Session, name: str, email: str, phone: str, address: str) -> int:
    """Add a client and give the id."""
    row = ClientRow(version=1, name=name, email=email, phone=phone, address=address)
    session.add(row)
    session.flush()
    return row.id


def change_client(session: Session, changed: ClientCard) -> None:
    """Put a client's new details in place."""
    row = session.get_one(ClientRow, changed.id)
    row.version, row.name, row.email = changed.version, changed.name, changed.email
    row.phone, row.address = changed.phone, changed.address


def card(row: ClientRow) -> ClientCard:
    """Give the record of a client's row."""
    return ClientCard(row.id, row.version, row.name, row.email, row.phone, row.address)
