"""Backup, restore and check: what is kept is proved before anybody relies on it."""

import tempfile
from dataclasses import replace
from pathlib import Path

from app.actions.database import Database
from app.settings import Settings
from app.store.backup import BackupError, BackupReport, back_up, restore, trail_is_whole
from app.store.check import CheckReport, check
from app.store.far_backups import FarTarget, far_target, fetch, is_far, send
from app.store.whole_firm import FirmReport, export_firm, import_firm

__all__ = [
    "BackupError",
    "BackupReport",
    "CheckReport",
    "FirmReport",
    "back_up",
    "back_up_to",
    "check",
    "export_firm",
    "import_firm",
    "restore",
    "restore_from",
    "trail_is_whole",
]


def back_up_to(db: Database, address: str, settings: Settings) -> BackupReport:
    """Back up to a file, or to s3://bucket/name; BackupError."""
    if not is_far(address):
        return back_up(db, Path(address))
    target = _far(address, settings)
    with tempfile.TemporaryDirectory(prefix="upstand-") as scratch:
        copy = Path(scratch) / "copy.sqlite"
        report = back_up(db, copy)
        send(target, copy)
    return replace(report, path=Path(address))


def restore_from(db: Database, address: str, settings: Settings) -> BackupReport:
    """Restore from a file, or from s3://bucket/name; BackupError."""
    if not is_far(address):
        return restore(db, Path(address))
    with tempfile.TemporaryDirectory(prefix="upstand-") as scratch:
        copy = Path(scratch) / "copy.sqlite"
        fetch(_far(address, settings), copy)
        return restore(db, copy)


def _far(address: str, settings: Settings) -> FarTarget:
    target = far_target(
        address,
        settings.backup_s3_endpoint,
        settings.backup_s3_region,
        settings.backup_s3_key,
        settings.backup_s3_secret,
    )
    if not target.prefix:
        raise BackupError(f"{address} names a bucket alone; write it like s3://bucket/office.sqlite.")
    return target
