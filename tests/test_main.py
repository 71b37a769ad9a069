import asyncio
import dataclasses
import gc
import json
import re
import socket
import sqlite3
import subprocess
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime
from pathlib import Path

import httpx
import pytest

from app.actions.database import Database, migrate
from app.actions.records import DemoAccount
from app.main import create_app
from app.settings import Settings
from app.store.backup import BackupError
from app.store.far_backups import FarTarget


@pytest.fixture
def settings(tmp_path: Path) -> Iterator[Settings]:
    yield Settings(data_dir=tmp_path)
    gc.unfreeze()


def ask(settings: Settings, *paths: str) -> list[httpx.Response]:
    """Start the server in this process, ask for some pages, and end it."""

    async def run() -> list[httpx.Response]:
        app = create_app(settings)
        async with (
            app.router.lifespan_context(app),
            httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://test") as client,
        ):
            return [await client.get(path) for path in paths]

    return asyncio.run(run())


def test_the_server_starts_on_an_empty_folder_and_asks_for_an_owner(
    settings: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    health, first = ask(settings, "/health", "/")
    assert health.text == "ok"
    assert first.status_code == 303
    assert gc.get_freeze_count() > 0
    printed = capsys.readouterr().out
    assert settings.address in printed
    assert "the first visitor makes the owner's account" in printed


@pytest.mark.parametrize("path", ["/docs", "/redoc", "/openapi.json"])
def test_the_public_sees_no_description_of_the_api(settings: Settings, path: str) -> None:
    assert ask(settings, path)[0].status_code == 404


def test_style_sheets_may_be_kept_but_are_asked_for_again(settings: Settings) -> None:
    style = ask(settings, "/static/css/base.css")[0]
    assert style.headers["cache-control"] == "no-cache"
    assert style.headers["etag"]


def test_serve_prints_where_it_is_and_how_to_sign_in(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "app.cli", "serve", "--port", "0"]
    environment = {"PATH": "/usr/bin:/bin", "UPSTAND_DATA_DIR": str(tmp_path), "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        address = re.search(r"http://localhost:(\d+)", server.stdout.readline())
        assert address is not None
        assert "owner's account" in server.stdout.readline()
        with urllib.request.urlopen(f"http://127.0.0.1:{address.group(1)}/health") as answer:
            assert answer.read() == b"ok"
        taken = subprocess.run(
            [*command[:-1], address.group(1)], env=environment, capture_output=True, text=True, check=False
        )
        server.terminate()
    assert taken.returncode == 1
    assert "cannot be listened on" in taken.stderr
    assert "Traceback" not in taken.stderr


def test_the_demo_serves_its_first_page_while_its_jobs_are_still_being_worked_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    may_go_on = threading.Event()

    def fill_slowly(_db: Database, account: DemoAccount, _now: datetime) -> DemoAccount:
        assert may_go_on.wait(20)
        return dataclasses.replace(account, client_token="the-token", notes=("one is missing",))

    monkeypatch.setattr("app.main.fill_demo", fill_slowly)

    async def run() -> int:
        app = create_app(Settings(data_dir=tmp_path, demo=True))
        async with (
            app.router.lifespan_context(app),
            httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://test") as client,
        ):
            answer = await client.get("/sign-in")
            assert "the-token" not in capsys.readouterr().out
            may_go_on.set()
            return answer.status_code

    assert asyncio.run(run()) == 200
    gc.unfreeze()
    printed = capsys.readouterr().out
    assert "/s/the-token" in printed
    assert "one is missing" in printed


def test_the_demo_whose_jobs_cannot_be_loaded_still_serves(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> DemoAccount:
        raise OSError("the disk is gone")

    monkeypatch.setattr("app.main.fill_demo", fail)
    assert ask(Settings(data_dir=tmp_path, demo=True), "/health")[0].status_code == 200
    gc.unfreeze()
    assert "could not be loaded" in capsys.readouterr().out


@pytest.mark.parametrize("folder", ["kept", "file/kept"])
def test_a_running_server_backs_itself_up_and_outlives_a_folder_that_fails(
    tmp_path: Path, folder: str, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr("app.main.BACKUP_LOOK_SECONDS", 0.02)
    (tmp_path / "file").touch()
    settings = Settings(data_dir=tmp_path, backup_dir=str(tmp_path / folder))

    async def run() -> int:
        app = create_app(settings)
        async with (
            app.router.lifespan_context(app),
            httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://test") as client,
        ):
            for _ in range(300):
                if list(settings.backups.glob("upstand-*.sqlite")) or "not made" in caplog.text:
                    break
                await asyncio.sleep(0.02)
            return (await client.get("/health")).status_code

    assert asyncio.run(run()) == 200
    gc.unfreeze()
    assert len(list(settings.backups.glob("upstand-*.sqlite"))) == (folder == "kept")


def test_what_could_not_be_sent_is_sent_at_the_next_look(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr("app.main.BACKUP_LOOK_SECONDS", 0.02)
    tried: list[str] = []

    def send(target: FarTarget, folder: Path, _keep: int) -> str:
        tried.append(repr(target))
        if len(tried) == 1:
            raise BackupError("the line is down")
        return next(folder.glob("upstand-*.sqlite")).name

    monkeypatch.setattr("app.main.send_newest", send)
    settings = Settings(data_dir=tmp_path, backup_s3="s3://bucket/office", backup_s3_secret="hidden")

    async def run() -> None:
        app = create_app(settings)
        async with app.router.lifespan_context(app):
            for _ in range(300):
                if app.state.figures.last_sent._value.get():
                    break
                await asyncio.sleep(0.02)
            # What lies there already is not asked for at every look.
            await asyncio.sleep(0.1)

    asyncio.run(run())
    gc.unfreeze()
    assert tried == ["FarTarget(s3://bucket/office)"] * 2
    assert "the line is down" in caplog.text
    assert "hidden" not in f"{settings!r} {caplog.text}"


def test_an_address_of_a_bucket_that_is_none_is_said_at_the_start(tmp_path: Path) -> None:
    environment = {"PATH": "/usr/bin:/bin", "UPSTAND_DATA_DIR": str(tmp_path), "UPSTAND_BACKUP_S3": "bucket"}
    command = [sys.executable, "-m", "app.cli", "serve", "--port", "0"]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "s3://bucket/folder" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_setting_that_cannot_be_read_is_named_without_a_traceback(tmp_path: Path) -> None:
    environment = {"PATH": "/usr/bin:/bin", "UPSTAND_DATA_DIR": str(tmp_path), "UPSTAND_PORT": "eighty"}
    command = [sys.executable, "-m", "app.cli", "serve"]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "UPSTAND_PORT" in done.stderr
    assert "eighty" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_server_that_is_told_to_stop_answers_what_is_under_way(tmp_path: Path) -> None:
    environment = {
        "PATH": "/usr/bin:/bin",
        "UPSTAND_DATA_DIR": str(tmp_path),
        "UPSTAND_LOG": "json",
        "PYTHONUNBUFFERED": "1",
    }
    command = [sys.executable, "-m", "app.cli", "serve", "--port", "0"]
    with subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as server:
        assert server.stdout is not None
        address = re.search(r"http://localhost:(\d+)", server.stdout.readline())
        assert address is not None
        # Half a form is sent, the server is told to stop, then comes the other half.
        with socket.create_connection(("127.0.0.1", int(address.group(1))), timeout=30) as line:
            body = b"email=ada%40example.org&password=x"
            head = f"POST /sign-in HTTP/1.1\r\nHost: x\r\nContent-Length: {len(body)}\r\n"
            head += "Content-Type: application/x-www-form-urlencoded\r\n\r\n"
            line.sendall(head.encode() + body[:10])
            time.sleep(0.5)
            server.terminate()
            time.sleep(0.5)
            line.sendall(body[10:])
            assert line.recv(100).startswith(b"HTTP/1.1 403")
        _, errors = server.communicate(timeout=30)
    assert server.returncode in (0, -15)
    lines = [json.loads(text) for text in errors.splitlines()]
    assert any(text.get("route") == "/sign-in" and text.get("status") == 403 for text in lines)


def test_ready_says_so_only_when_the_tables_are_those_of_the_program(settings: Settings) -> None:
    assert ask(settings, "/ready")[0].text == "ready"


def test_serve_refuses_a_database_of_a_newer_program_in_a_sentence(tmp_path: Path) -> None:
    migrate(f"sqlite:///{tmp_path / 'upstand.sqlite'}")
    with closing(sqlite3.connect(tmp_path / "upstand.sqlite")) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999_later'")
    environment = {"PATH": "/usr/bin:/bin", "UPSTAND_DATA_DIR": str(tmp_path)}
    done = subprocess.run(
        [sys.executable, "-m", "app.cli", "serve", "--port", "0"],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "9999_later" in done.stderr
    assert "Traceback" not in done.stderr
