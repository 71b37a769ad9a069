"""Backup, restore and check: what is kept is proved before anybody relies on it."""

from app.store.backup import BackupError, BackupReport, back_up, restore, trail_is_whole
from app.store.check import CheckReport, check
from app.store.whole_firm import FirmReport, export_firm, import_firm

__all__ = [
    "BackupError",
    "BackupReport",
    "CheckReport",
    "FirmReport",
    "back_up",
    "check",
    "export_firm",
    "import_firm",
    "restore",
    "trail_is_whole",
]
