"""How alembic reaches the database: the connection it is handed, or the one the settings name."""

from typing import Literal

from alembic import context
from sqlalchemy import Connection

from app.settings import Settings
from app.store.database import open_database
from app.store.models import Base
from app.store.models.base import Exact, Instant


def plain_type(kind: str, item: object, _context: object) -> str | Literal[False]:
    """Write our column types as what the database sees, so that a migration never changes with the code."""
    if kind == "type" and isinstance(item, Instant):
        return "sa.DateTime(timezone=True)"
    if kind == "type" and isinstance(item, Exact):
        return "sa.String(length=40)"
    return False


def run(connection: Connection) -> None:
    """Run the migrations on one connection; its owner commits."""
    context.configure(
        connection=connection,
        target_metadata=Base.metadata,
        render_as_batch=connection.dialect.name == "sqlite",
        compare_type=True,
        render_item=plain_type,
        transactional_ddl=True,
    )
    with context.begin_transaction():
        context.run_migrations()


handed = context.config.attributes.get("connection")
if isinstance(handed, Connection):
    run(handed)
else:
    database = open_database(Settings().url)
    with database.connection() as opened:
        run(opened)
    database.close()
