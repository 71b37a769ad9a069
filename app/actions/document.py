"""Saving the job file, part by part: whole-job validation, version check, audit row."""

from datetime import datetime
from typing import Any

from app.actions.database import Database
from app.actions.records import StaffMember


def save_part(
    db: Database, staff: StaffMember, job_id: int, version: int, part: str, document: Any, now: datetime
) -> int:
    """Put `document` in place of one part ("survey", "plan.deck_fields", "title" ...) and give the new version; InputErrors, StaleSave, Refused."""
    raise NotImplementedError


def replace_document(
    db: Database, staff: StaffMember, job_id: int, version: int, document: dict[str, Any], now: datetime
) -> int:
    """Put a whole job file in place of the old one and give the new version."""
    raise NotImplementedError
