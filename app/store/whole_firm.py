"""A firm as open files in one archive, and back: every table as JSON and CSV, PDFs and photos as they are.

What only lives for hours is left out: sessions, guesses, codes under way. Passwords and keys go as hashes,
the secrets of second factors as they are: the archive is as private as a backup.
"""

import csv
import hashlib
import io
import json
import os
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, LargeBinary, MetaData, Table, func, insert, select, text
from sqlalchemy.exc import DBAPIError

from app.store.backup import BackupError
from app.store.database import Database, NotKept, sentence_for
from app.store.upgrade import bring_up_to_date, go_to, is_known, version_of

FORMAT = 1
SHORT_LIVED = frozenset(
    {"sessions", "guesses", "link_sessions", "sign_codes", "passkey_challenges", "alembic_version"}
)
MOST_BYTES = 4_000_000_000  # of all files unpacked; an archive that says more is no archive of ours
_KINDS = {b"%PDF": ".pdf", b"\xff\xd8\xff": ".jpg", b"\x89PNG": ".png"}


@dataclass(frozen=True, slots=True)
class FirmReport:
    """What an archive holds: the version of its tables, and how many rows of each."""

    path: Path
    version: str
    rows: tuple[tuple[str, int], ...]


def export_firm(db: Database, target: Path, now: datetime) -> FirmReport:
    """Write everything a firm has entered to one archive, as one moment; BackupError."""
    if target.exists():
        raise BackupError(f"{target} is there already; an export never replaces a file. Name another one.")
    if not target.parent.is_dir():
        raise BackupError(f"The folder {target.parent} does not exist; make it first.")
    scratch = target.with_name(f".{target.name}.part")
    try:
        with open(scratch, "wb", opener=_private) as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive, db.read() as session:
                report = _write(session.connection(), archive, target, now)
            file.flush()
            os.fsync(file.fileno())
        os.link(scratch, target)
    except OSError as fault:
        raise BackupError(f"{target} could not be written: {fault.strerror}.") from fault
    finally:
        scratch.unlink(missing_ok=True)
    return report


def import_firm(db: Database, source: Path) -> FirmReport:
    """Read an archive into an empty database, all of it or nothing; BackupError, NotKept."""
    try:
        with zipfile.ZipFile(source) as archive:
            if sum(entry.file_size for entry in archive.infolist()) > MOST_BYTES:
                raise BackupError(
                    f"{source} unpacks to more than {MOST_BYTES:,} bytes; it is no export of ours."
                )
            return _import(db, archive, source)
    except (zipfile.BadZipFile, KeyError, UnicodeDecodeError, json.JSONDecodeError) as fault:
        raise BackupError(f"{source} is no whole export of a firm: {fault}.") from fault
    except OSError as fault:
        raise BackupError(f"{source} cannot be read: {fault.strerror}.") from fault
    except DBAPIError as fault:
        sentence = sentence_for(fault)
        if not sentence:
            raise
        raise NotKept(sentence) from fault


def tables_of(connection: Connection) -> tuple[Table, ...]:
    """Give the tables of a database as they are, those first that others point to."""
    metadata = MetaData()
    metadata.reflect(connection)
    return tuple(table for table in metadata.sorted_tables if table.name not in SHORT_LIVED)


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _write(connection: Connection, archive: zipfile.ZipFile, target: Path, now: datetime) -> FirmReport:
    version, counts, hashes = version_of(connection) or "", {}, {}
    for table in tables_of(connection):
        rows = []
        for row in connection.execute(select(table).order_by(*table.primary_key)).mappings():
            rows.append({name: _plain(value, table, row, archive) for name, value in row.items()})
        whole = json.dumps(rows, ensure_ascii=False, indent=1).encode()
        archive.writestr(f"tables/{table.name}.json", whole)
        archive.writestr(f"csv/{table.name}.csv", _csv(table, rows))
        counts[table.name], hashes[table.name] = len(rows), hashlib.sha256(whole).hexdigest()
    for job in connection.execute(text("SELECT id, document FROM jobs ORDER BY id")):
        archive.writestr(f"job-files/{job.id}.json", job.document)
    manifest = {
        "format": FORMAT,
        "tables": version,
        "made_at": now.astimezone(UTC).isoformat(),
        "rows": counts,
        "sha256": hashes,
    }
    archive.writestr("firm.json", json.dumps(manifest, indent=1))
    return FirmReport(target, version, tuple(sorted(counts.items())))


def _plain(value: Any, table: Table, row: Mapping[Any, Any], archive: zipfile.ZipFile) -> Any:
    """Give a value as JSON knows it; what is no text goes into a file of its own."""
    if isinstance(value, datetime):
        aware = value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
        return aware.isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if not isinstance(value, bytes):
        return value
    ending = next((ending for head, ending in _KINDS.items() if value.startswith(head)), ".bin")
    name = f"files/{table.name}-{'-'.join(str(row[key.name]) for key in table.primary_key)}{ending}"
    archive.writestr(name, value)
    return {"file": name, "sha256": hashlib.sha256(value).hexdigest()}


def _csv(table: Table, rows: list[dict[str, Any]]) -> str:
    """Give a table for a spreadsheet: a text that it would take for a formula is marked as text."""
    written = io.StringIO()
    writer = csv.writer(written)
    writer.writerow([column.name for column in table.columns])
    for row in rows:
        writer.writerow(_cell(value) for value in row.values())
    return written.getvalue()


def _cell(value: Any) -> Any:
    if isinstance(value, dict):
        return value["file"]
    # OWASP ASVS 5.0.0, 1.2.10: a leading =, +, -, @, tab or null starts a formula in some programs.
    return f"'{value}" if isinstance(value, str) and value[:1] in tuple("=+-@\t\0") else value


def _import(db: Database, archive: zipfile.ZipFile, source: Path) -> FirmReport:
    manifest = json.loads(archive.read("firm.json"))
    version = manifest.get("tables") if isinstance(manifest, dict) else None
    if not isinstance(version, str) or manifest.get("format") != FORMAT:
        raise BackupError(f"{source} is no export of a firm that this program can read.")
    if not is_known(version):
        raise BackupError(f"{source} was written by a newer program (tables {version}); install that first.")
    with db.connection() as connection:
        present = version_of(connection)
        if present is not None and any(_has_rows(connection, table) for table in tables_of(connection)):
            raise BackupError("The database is not empty; an export is read into an empty one only.")
    go_to(db, "base")
    go_to(db, version)
    try:
        with db.connection() as connection:
            for table in tables_of(connection):
                _fill(connection, table, archive, manifest)
        bring_up_to_date(db)
    except BaseException:
        go_to(db, "base")
        go_to(db, "head")
        raise
    return FirmReport(source, version, tuple(sorted(manifest["rows"].items())))


def _has_rows(connection: Connection, table: Table) -> bool:
    return connection.execute(select(table).limit(1)).first() is not None


def _fill(connection: Connection, table: Table, archive: zipfile.ZipFile, manifest: dict[str, Any]) -> None:
    whole = archive.read(f"tables/{table.name}.json")
    if hashlib.sha256(whole).hexdigest() != manifest["sha256"].get(table.name):
        raise BackupError(f"The table {table.name} in the export is not as it was written.")
    connection.execute(table.delete())  # what a migration put there itself
    rows = [dict(_typed(table, row, archive)) for row in json.loads(whole)]
    if rows:
        connection.execute(insert(table), rows)
        _count_on(connection, table)


def _typed(table: Table, row: dict[str, Any], archive: zipfile.ZipFile) -> Iterator[tuple[str, Any]]:
    for column in table.columns:
        value = row[column.name]
        if value is None or not isinstance(value, str | dict | int):
            yield column.name, value
            continue
        yield column.name, _value(column.type.python_type, column.type, value, archive)


def _value(kind: type, column_type: Any, value: Any, archive: zipfile.ZipFile) -> Any:
    if isinstance(column_type, LargeBinary):
        content = archive.read(value["file"])
        if hashlib.sha256(content).hexdigest() != value["sha256"]:
            raise BackupError(f"The file {value['file']} in the export is not as it was written.")
        return content
    if kind is datetime:
        return datetime.fromisoformat(value)
    if kind is date:
        return date.fromisoformat(value)
    return bool(value) if kind is bool else value


def _count_on(connection: Connection, table: Table) -> None:
    """Let a database server count on after the rows that brought their own numbers."""
    key = list(table.primary_key)
    if connection.dialect.name != "postgresql" or len(key) != 1:
        return
    name = connection.scalar(select(func.pg_get_serial_sequence(table.name, key[0].name)))
    if name:
        connection.execute(select(func.setval(name, select(func.max(key[0])).scalar_subquery())))
