"""Backups made by the clock: a new one when the last is old, the newest kept, and one for each month."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from app.store.backup import BackupError, BackupReport, back_up
from app.store.database import Database

MONTHS_KEPT = 12
_NAME = re.compile(r"upstand-(\d{8}T\d{6})Z\.sqlite")


@dataclass(frozen=True, slots=True)
class BackupPlan:
    """Where backups go, how old the last may become, and how many of the newest are kept."""

    folder: Path
    every: timedelta
    keep: int


def newest_backup_at(folder: Path) -> datetime | None:
    """Give when the newest backup in a folder was made, by its name; None when there is none."""
    made = [at for at, _ in _kept(folder)]
    return made[-1] if made else None


def back_up_when_due(db: Database, plan: BackupPlan, now: datetime) -> BackupReport | None:
    """Make a proved backup when the last is too old, then remove what need not be kept; BackupError.

    A clock that was set back does not stop the backups: one from the future counts as too old.
    """
    try:
        plan.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as fault:
        raise BackupError(f"The folder {plan.folder} cannot be made: {fault.strerror}.") from fault
    last = newest_backup_at(plan.folder)
    if last is not None and timedelta(0) <= now - last < plan.every:
        return None
    report = back_up(db, plan.folder / f"upstand-{now.astimezone(UTC):%Y%m%dT%H%M%S}Z.sqlite")
    # Only now: a backup that failed never costs an old one.
    for path in to_remove(plan.folder, plan.keep):
        path.unlink(missing_ok=True)
    return report


def newest_backup(folder: Path) -> Path | None:
    """Give the newest backup in a folder; None when there is none."""
    kept = _kept(folder)
    return kept[-1][1] if kept else None


def to_remove(folder: Path, keep: int) -> tuple[Path, ...]:
    """Give the backups that are neither among the newest nor the newest of one of the last months."""
    return tuple(folder / name for name in to_remove_of(of_our_making(_names(folder)), keep))


def to_remove_of(kept: Sequence[tuple[datetime, str]], keep: int) -> tuple[str, ...]:
    """Give the names, of backups oldest first, that need not be kept."""
    of_month = {f"{at:%Y%m}": name for at, name in kept}
    staying = {name for _, name in kept[-max(1, keep) :]}
    staying |= {of_month[month] for month in sorted(of_month)[-MONTHS_KEPT:]}
    return tuple(name for _, name in kept if name not in staying)


def of_our_making(names: Iterable[str]) -> list[tuple[datetime, str]]:
    """Give the names that a backup by the clock has, oldest first; any other file is nobody's business."""
    found = []
    for whole in names:
        name = _NAME.fullmatch(whole)
        if name is None:
            continue
        try:
            found.append((datetime.strptime(f"{name[1]}+0000", "%Y%m%dT%H%M%S%z"), whole))
        except ValueError:
            continue
    return sorted(found)


def _names(folder: Path) -> list[str]:
    return [path.name for path in folder.glob("upstand-*.sqlite")]


def _kept(folder: Path) -> list[tuple[datetime, Path]]:
    return [(at, folder / name) for at, name in of_our_making(_names(folder))]
