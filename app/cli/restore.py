"""`upstand restore`."""

from argparse import Namespace

from app.actions.backup import restore
from app.actions.database import open_database
from app.cli.backup import report_text
from app.settings import Settings


def run(options: Namespace) -> int:
    """Put a backup in place of the database, after proving it."""
    db = open_database(Settings().url)
    try:
        report = restore(db, options.file)
    finally:
        db.close()
    print(report_text("Restored", report))
    print("The database as it was is kept beside it, with .before-restore behind its name.")
    return 0
