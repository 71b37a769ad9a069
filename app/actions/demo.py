"""The demo firm, loaded into an empty database."""

from datetime import datetime

from app.actions.database import Database
from app.actions.records import DemoAccount


def load_demo(db: Database, now: datetime) -> DemoAccount | None:
    """Load the demo firm, price list, crews, clients and three jobs; None when the database is not empty."""
    raise NotImplementedError
