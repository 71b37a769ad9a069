"""Backups in a place of their own, any target that speaks S3: sent, read back, compared, rotated.

The library is an optional extra (`s3`); it is loaded when a target is named.
"""

import hashlib
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from app.store.backup import BackupError
from app.store.kept_backups import newest_backup, of_our_making, to_remove_of

_ADDRESS = re.compile(r"s3://([a-z0-9][a-z0-9.-]{1,61}[a-z0-9])(?:/(.*))?")
_PIECE = 1 << 20


@dataclass(frozen=True, slots=True)
class FarTarget:
    """Where backups are sent: a bucket, what stands before each name, and how its server is reached."""

    bucket: str
    prefix: str
    endpoint: str = ""
    region: str = "us-east-1"
    key: str = ""
    secret: str = ""

    def __repr__(self) -> str:
        """Show the place alone: the rest is secret."""
        return f"FarTarget(s3://{self.bucket}/{self.prefix})"


def is_far(address: str) -> bool:
    """Tell whether an address means such a target, and not a file."""
    return address.startswith("s3:")


def far_target(address: str, endpoint: str, region: str, key: str, secret: str) -> FarTarget:
    """Read the address of a target, such as s3://bucket/folder; BackupError."""
    found = _ADDRESS.fullmatch(address)
    if found is None:
        raise BackupError(f"{address} is no address of a bucket; write it like s3://bucket/folder.")
    return FarTarget(found[1], (found[2] or "").strip("/"), endpoint, region, key, secret)


def send_newest(target: FarTarget, folder: Path, keep: int) -> str | None:
    """Send the newest backup by the clock if it is not there yet, prove it, rotate; gives its name."""
    path = newest_backup(folder)
    if path is None:
        return None
    with _said_plainly(target):
        client = _client(target)
        there = _names(client, target)
        if path.name not in there:
            _send(client, target, path, path.name)
            there = (*there, path.name)
        # Only now: what could not be sent never costs an old one.
        for name in to_remove_of(of_our_making(there), keep):
            client.delete_object(Bucket=target.bucket, Key=_key(target, name))
    return path.name


def send(target: FarTarget, path: Path) -> None:
    """Send one file under the target's own name, and prove what arrived; never over another."""
    with _said_plainly(target):
        client = _client(target)
        if target.prefix in _names(client, FarTarget(target.bucket, ""), target.prefix):
            raise BackupError(f"s3://{target.bucket}/{target.prefix} is there already; name another one.")
        _send(client, FarTarget(target.bucket, ""), path, target.prefix)


def fetch(target: FarTarget, path: Path) -> None:
    """Bring what lies under the target's own name into a file."""
    with _said_plainly(target):
        _client(target).download_file(target.bucket, target.prefix, str(path))


def names_at(target: FarTarget) -> tuple[str, ...]:
    """Give the names of everything in the target's folder."""
    with _said_plainly(target):
        return _names(_client(target), target)


def _send(client: Any, target: FarTarget, path: Path, name: str) -> None:
    """Upload, then read back and compare: what a server says it has is not what it has."""
    key, sent = _key(target, name), hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(_PIECE):
            sent.update(piece)
    client.upload_file(str(path), target.bucket, key)
    kept = hashlib.sha256()
    for piece in client.get_object(Bucket=target.bucket, Key=key)["Body"].iter_chunks(_PIECE):
        kept.update(piece)
    if kept.digest() != sent.digest():
        client.delete_object(Bucket=target.bucket, Key=key)
        raise BackupError(f"What arrived at s3://{target.bucket}/{key} was not what was sent; it is removed.")


def _names(client: Any, target: FarTarget, beginning: str = "") -> tuple[str, ...]:
    before = f"{target.prefix}/" if target.prefix else ""
    pages = client.get_paginator("list_objects_v2").paginate(Bucket=target.bucket, Prefix=before + beginning)
    return tuple(row["Key"].removeprefix(before) for page in pages for row in page.get("Contents", ()))


def _key(target: FarTarget, name: str) -> str:
    return f"{target.prefix}/{name}" if target.prefix else name


def _client(target: FarTarget) -> Any:
    try:
        import boto3  # noqa: PLC0415 - an extra, and slow to import
        from botocore.config import Config  # noqa: PLC0415
    except ImportError as fault:
        raise BackupError("Backups to S3 need the extra s3: .venv/bin/pip install '.[s3]'.") from fault
    settings = Config(
        connect_timeout=10,
        read_timeout=60,
        retries={"max_attempts": 3, "mode": "standard"},
        # Servers that only speak like S3 do not know the newer sums; the read-back proves more.
        request_checksum_calculation="when_required",
        response_checksum_validation="when_required",
    )
    return boto3.client(
        "s3",
        endpoint_url=target.endpoint or None,
        region_name=target.region,
        aws_access_key_id=target.key or None,
        aws_secret_access_key=target.secret or None,
        config=settings,
    )


@contextmanager
def _said_plainly(target: FarTarget) -> Iterator[None]:
    """Turn what the library and the line do into a sentence; no key is in it."""
    try:
        yield
    except (BackupError, OSError):
        raise
    except Exception as fault:
        if type(fault).__module__.partition(".")[0] not in {"boto3", "botocore", "s3transfer", "urllib3"}:
            raise
        raise BackupError(f"The backups at s3://{target.bucket} cannot be reached: {fault}.") from fault
