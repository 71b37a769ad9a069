"""`upstand backup`."""

from argparse import Namespace

from app.actions.backup import BackupReport, back_up
from app.actions.database import open_database
from app.settings import Settings


def run(options: Namespace) -> int:
    """Copy the database to a new file and prove the copy."""
    db = open_database(Settings().url)
    try:
        report = back_up(db, options.file)
    finally:
        db.close()
    print(report_text("Backed up to", report))
    return 0


def report_text(done: str, report: BackupReport) -> str:
    """Say what a proved copy holds."""
    rows = sum(count for _, count in report.rows)
    counts = ", ".join(f"{name} {count}" for name, count in report.rows if count)
    return (
        f"{done} {report.path}: {report.size_bytes / 1000:,.0f} kB, {rows} rows ({counts or 'empty'}), "
        f"tables {report.version}; checked whole."
    )
