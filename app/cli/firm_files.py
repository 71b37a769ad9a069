"""`upstand export` and `upstand import`."""

from argparse import Namespace
from datetime import UTC, datetime

from app.actions.backup import FirmReport, export_firm, import_firm
from app.actions.database import open_database
from app.settings import Settings


def run(options: Namespace) -> int:
    """Write the firm to an archive of open files, or read such an archive into an empty database."""
    db = open_database(Settings().url)
    try:
        if options.command == "export":
            print(_text("Exported to", export_firm(db, options.file, datetime.now(UTC))))
        else:
            print(_text("Imported", import_firm(db, options.file)))
    finally:
        db.close()
    return 0


def _text(done: str, report: FirmReport) -> str:
    counts = ", ".join(f"{name} {count}" for name, count in report.rows if count)
    return f"{done} {report.path}: tables {report.version}; {counts or 'empty'}."
