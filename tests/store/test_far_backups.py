"""Backups sent to a target that speaks S3: a real server on this machine, over HTTP."""

import logging
import sqlite3
import subprocess
import sys
import warnings
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from app.store import clients, far_backups
from app.store.backup import BackupError
from app.store.database import Database, open_database
from app.store.far_backups import FarTarget, far_target, names_at, send_newest
from app.store.kept_backups import BackupPlan, back_up_when_due
from app.store.upgrade import bring_up_to_date

NOW = datetime(2026, 5, 4, 3, 0, tzinfo=UTC)
DAY = timedelta(days=1)

pytestmark = [
    pytest.mark.xdist_group("s3"),
    # What the library and the server under test say about themselves is not ours to mend.
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
]


@pytest.fixture(scope="module")
def endpoint() -> Iterator[str]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from moto.server import ThreadedMotoServer

    logging.getLogger("werkzeug").setLevel(logging.ERROR)
    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    yield f"http://{host}:{port}"
    server.stop()


@pytest.fixture
def target(endpoint: str, request: pytest.FixtureRequest) -> FarTarget:
    bucket = f"bucket-{abs(hash(request.node.name))}"
    found = far_target(f"s3://{bucket}/office", endpoint, "us-east-1", "key", "secret-of-the-key")
    far_backups._client(found).create_bucket(Bucket=bucket)
    return found


@pytest.fixture
def db(tmp_path: Path) -> Iterator[Database]:
    database = open_database(f"sqlite:///{tmp_path / 'data' / 'upstand.sqlite'}")
    bring_up_to_date(database)
    with database.write() as session:
        clients.add_client(session, "Ada", "", "", "")
    yield database
    database.close()


def test_the_newest_backup_is_sent_once_and_old_ones_go_by_the_same_rule(
    db: Database, target: FarTarget, tmp_path: Path
) -> None:
    plan = BackupPlan(tmp_path / "kept", DAY, 2)
    assert send_newest(target, plan.folder, plan.keep) is None
    for day in range(5):
        back_up_when_due(db, plan, NOW + day * DAY)
        assert send_newest(target, plan.folder, plan.keep) is not None
        assert send_newest(target, plan.folder, plan.keep) is not None
    here = {path.name for path in plan.folder.iterdir()}
    assert set(names_at(target)) == here
    assert len(here) == 2


def test_other_files_at_the_target_are_left_alone(db: Database, target: FarTarget, tmp_path: Path) -> None:
    client = far_backups._client(target)
    client.put_object(Bucket=target.bucket, Key="office/mine.txt", Body=b"x")
    client.put_object(Bucket=target.bucket, Key="upstand-20200101T000000Z.sqlite", Body=b"x")
    plan = BackupPlan(tmp_path / "kept", DAY, 1)
    back_up_when_due(db, plan, NOW)
    send_newest(target, plan.folder, 1)
    assert "mine.txt" in names_at(target)
    assert "upstand-20200101T000000Z.sqlite" in names_at(replace(target, prefix=""))


def test_what_arrives_changed_is_removed_and_costs_no_old_one(
    db: Database, target: FarTarget, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = BackupPlan(tmp_path / "kept", DAY, 1)
    back_up_when_due(db, plan, NOW)
    first = send_newest(target, plan.folder, 1)
    back_up_when_due(db, plan, NOW + DAY)
    real = far_backups._client

    def lossy(where: FarTarget) -> Any:
        client = real(where)
        client.upload_file = lambda path, bucket, key: client.put_object(
            Bucket=bucket, Key=key, Body=Path(path).read_bytes()[:-7]
        )
        return client

    monkeypatch.setattr(far_backups, "_client", lossy)
    with pytest.raises(BackupError, match="not what was sent"):
        send_newest(target, plan.folder, 1)
    assert names_at(target) == (first,)


def test_a_target_that_cannot_be_reached_is_said_without_the_secret(
    target: FarTarget, tmp_path: Path
) -> None:
    missing = replace(target, bucket="no-such-bucket")
    with pytest.raises(BackupError, match="cannot be reached") as fault:
        names_at(missing)
    assert "secret-of-the-key" not in f"{fault.value} {missing!r} {fault.value.__cause__}"


@pytest.mark.parametrize("address", ["s3:/bucket", "s3://", "s3://UPPER/x", "s3://b"])
def test_an_address_that_is_none_is_refused(address: str) -> None:
    with pytest.raises(BackupError, match="write it like"):
        far_target(address, "", "", "", "")


def test_the_command_backs_up_to_the_target_and_restores_from_it(
    db: Database, target: FarTarget, tmp_path: Path
) -> None:
    environment = {
        "PATH": "/usr/bin:/bin",
        "UPSTAND_DATA_DIR": str(tmp_path / "data"),
        "UPSTAND_BACKUP_S3_ENDPOINT": target.endpoint,
        "UPSTAND_BACKUP_S3_KEY": target.key,
        "UPSTAND_BACKUP_S3_SECRET": target.secret,
    }

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-W", "ignore", "-m", "app.cli", *words]
        return subprocess.run(command, env=environment, capture_output=True, text=True, check=False)

    address = f"s3://{target.bucket}/by-hand.sqlite"
    made = run("backup", address)
    assert made.returncode == 0, made.stderr
    assert address in made.stdout
    again = run("backup", address)
    assert again.returncode == 1
    assert "there already" in again.stderr
    with db.write() as session:
        clients.add_client(session, "Later", "", "", "")
    restored = run("restore", address)
    assert restored.returncode == 0, restored.stderr
    with closing(sqlite3.connect(tmp_path / "data" / "upstand.sqlite")) as connection:
        assert connection.execute("SELECT name FROM clients").fetchall() == [("Ada",)]
    lost = run("restore", f"s3://{target.bucket}/none.sqlite")
    assert lost.returncode == 1
    assert "Traceback" not in lost.stderr
