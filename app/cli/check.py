"""`upstand check`."""

import json
from argparse import Namespace
from dataclasses import asdict

from app.actions.backup import check
from app.actions.database import open_database
from app.settings import Settings


def run(options: Namespace) -> int:
    """Prove what is kept; gives 1 when anything is not as it was written."""
    db = open_database(Settings().url)
    try:
        report = check(db)
    finally:
        db.close()
    if options.json:
        print(json.dumps({"answer": "check", "version": 1, **asdict(report)}, indent=2))
        return 1 if report.faults else 0
    print(
        f"Looked at {report.audit_rows} entries of the trail, {report.jobs} jobs, "
        f"{report.revisions} revisions, {report.signatures} signatures."
    )
    for fault in report.faults:
        print(f"  - {fault}")
    print("Something is not as it was written." if report.faults else "All is as it was written.")
    return 1 if report.faults else 0
