"""The door to the store: pages and commands hold a `Database` and pass it to actions, nothing else."""

from app.store.database import Database, NotKept, Unreachable, open_database
from app.store.upgrade import NewerDatabase, migrate

__all__ = ["Database", "NewerDatabase", "NotKept", "Unreachable", "migrate", "open_database"]
