"""`upstand backup`."""

from argparse import Namespace

from app.actions.backup import BackupReport, back_up_to
from app.actions.database import open_database
from app.settings import Settings


def run(options: Namespace) -> int:
    """Copy the database to a new file and prove the copy."""
    settings = Settings()
    db = open_database(settings.url)
    try:
        report = back_up_to(db, options.file, settings)
    finally:
        db.close()
    print(report_text("Backed up to", options.file, report))
    return say_faults(report)


def say_faults(report: BackupReport) -> int:
    """Say what in a whole copy is not as it was written; gives 1 then, and 0 when all is."""
    for fault in report.faults:
        print(f"  - {fault}")
    return 1 if report.faults else 0


def report_text(done: str, where: object, report: BackupReport) -> str:
    """Say what a proved copy holds."""
    rows = sum(count for _, count in report.rows)
    counts = ", ".join(f"{name} {count}" for name, count in report.rows if count)
    return (
        f"{done} {where}: {report.size_bytes / 1000:,.0f} kB, {rows} rows ({counts or 'empty'}), "
        f"tables {report.version}; checked whole."
    )
