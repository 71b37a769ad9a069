"""Backup, restore and check: what is kept is proved before anybody relies on it."""

from app.store.backup import BackupError, BackupReport, back_up, restore, trail_is_whole
from app.store.check import CheckReport, check

__all__ = ["BackupError", "BackupReport", "CheckReport", "back_up", "check", "restore", "trail_is_whole"]
