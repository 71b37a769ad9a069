"""`upstand restore`."""

from argparse import Namespace

from app.actions.backup import restore_from
from app.actions.database import open_database
from app.cli.backup import report_text, say_faults
from app.settings import Settings


def run(options: Namespace) -> int:
    """Put a backup in place of the database, after proving it."""
    settings = Settings()
    db = open_database(settings.url)
    try:
        report = restore_from(db, options.file, settings)
    finally:
        db.close()
    print(report_text("Restored", report.path, report))
    print("The database as it was is kept beside it, with .before-restore behind its name.")
    return say_faults(report)
