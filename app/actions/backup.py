"""Backup and restore: a copy of the database file, proved before anybody relies on it."""

from app.store.backup import BackupError, BackupReport, back_up, restore, trail_is_whole

__all__ = ["BackupError", "BackupReport", "back_up", "restore", "trail_is_whole"]
