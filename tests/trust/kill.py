"""Kill the server (SIGKILL) at random points under load; after each: every answered write is there, whole.

`python -m tests.trust.kill 500` does it 500 times and prints what was answered and lost.
"""

import contextlib
import hashlib
import hmac
import io
import json
import multiprocessing
import os
import random
import shutil
import signal
import socket
import sqlite3
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx

from app.actions.backup import check
from app.actions.database import migrate, open_database
from app.actions.demo import load_demo
from app.actions.sign import exchange
from app.actions.sign_in import sign_in

VISIT = "v" * 43
START_SECONDS = 60


@dataclass(frozen=True)
class Template:
    """A database with the demo in it, a signed-in session, and a client who may sign."""

    path: Path
    session: str
    offer: str
    fingerprint: str
    signable_job: int


@dataclass
class Answered:
    """What the server said was done before it was killed."""

    clients: list[str] = field(default_factory=list)
    sent: list[str] = field(default_factory=list)
    version: int = 0
    is_signed: bool = False
    strange: list[str] = field(default_factory=list)


def make_template(folder: Path) -> Template:
    """Load the demo once; every round starts from a copy of it."""
    path = folder / "template.sqlite"
    migrate(f"sqlite:///{path}")
    db = open_database(f"sqlite:///{path}")
    now = datetime.now(UTC)
    account = load_demo(db, now)
    assert account is not None
    assert account.client_token, account.notes
    session, _ = sign_in(db, account.email, account.password, now)
    offer = exchange(db, account.client_token, now)
    db.close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        job, mark = connection.execute("SELECT job_id, fingerprint FROM revisions").fetchone()
    return Template(path, session, offer, mark, job)


def serve(folder: str, listener: socket.socket) -> None:
    """The child: the server as it is, on a socket it was handed."""
    serve_url(folder, "", listener)


def serve_url(folder: str, url: str, listener: socket.socket) -> None:
    """The child, on a database of its own or on one that is named."""
    import uvicorn

    from app.main import create_app
    from app.settings import Settings

    os.environ["UPSTAND_BACKUP_EVERY_H"] = "0"
    app = create_app(Settings(data_dir=Path(folder), database_url=url))
    with contextlib.redirect_stdout(io.StringIO()):
        uvicorn.Server(uvicorn.Config(app, log_level="error", access_log=False)).run(sockets=[listener])


def one_kill(template: Template, folder: Path, seed: int) -> tuple[Answered, tuple[str, ...]]:
    """Serve a copy, load it, kill it, and say what was answered and what is wrong afterwards."""
    chance = random.Random(seed)
    shutil.copy(template.path, folder / "upstand.sqlite")
    with socket.create_server(("127.0.0.1", 0)) as listener:
        port = listener.getsockname()[1]
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload(["app.main", "uvicorn"])
        child = context.Process(target=serve, args=(str(folder), listener), daemon=True)
        child.start()
    answered = _load(template, f"http://127.0.0.1:{port}", child.pid or 0, chance)
    child.join()
    return answered, tuple(_faults(template, folder / "upstand.sqlite", answered))


def _load(template: Template, address: str, pid: int, chance: random.Random) -> Answered:
    answered, stop = Answered(), threading.Event()
    wait_until_up(address)
    delay, sign_after = chance.uniform(0.0, 0.4), chance.uniform(0.0, 0.3)
    work: tuple[Callable[[httpx.Client], None], ...] = (
        *(_adder(answered, stop, template, name) for name in ("Ash", "Birch")),
        _saver(answered, stop, template),
        _signer(answered, template, sign_after),
    )
    threads = [threading.Thread(target=_until_it_dies, args=(address, one)) for one in work]
    for thread in threads:
        thread.start()
    if chance.random() < 0.8:  # the rest are killed while the first requests are still on their way
        _wait_for_an_answer(answered)
    time.sleep(delay)
    os.kill(pid, signal.SIGKILL)
    stop.set()
    for thread in threads:
        thread.join()
    return answered


def wait_until_up(address: str) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        try:
            if httpx.get(f"{address}/health", timeout=START_SECONDS).status_code == 200:
                return
        except httpx.TransportError:
            time.sleep(0.01)
    raise AssertionError("the server did not come up")


def _wait_for_an_answer(answered: Answered) -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until and not (answered.clients or answered.strange):
        time.sleep(0.005)


def _until_it_dies(address: str, work: Callable[[httpx.Client], None]) -> None:
    with httpx.Client(base_url=address, timeout=20) as browser:
        try:
            work(browser)
        except httpx.TransportError:
            return  # killed: what was not answered may or may not be there


def form(cookies: dict[str, str], bound: str, **values: str) -> dict[str, Any]:
    token = hmac.new(VISIT.encode(), bound.encode(), hashlib.sha256).hexdigest()
    return {"cookies": {**cookies, "visit": VISIT}, "data": {**values, "form_token": token}}


def post(browser: httpx.Client, path: str, sent: dict[str, Any]) -> httpx.Response:
    pairs = "; ".join(f"{name}={value}" for name, value in sent["cookies"].items())
    return browser.post(path, data=sent["data"], headers={"cookie": pairs})


def _adder(answered: Answered, stop: threading.Event, template: Template, kind: str) -> Any:
    def add(browser: httpx.Client) -> None:
        number = 0
        while not stop.is_set():
            name = f"{kind} {number}"
            answered.sent.append(name)
            sent = form({"session": template.session}, template.session, name=name)
            answer = post(browser, "/clients/new", sent)
            if answer.status_code == 303:
                answered.clients.append(name)
            else:
                answered.strange.append(f"adding {name}: {answer.status_code} {answer.text[:200]}")
                return
            number += 1

    return add


def _saver(answered: Answered, stop: threading.Event, template: Template) -> Any:
    def save(browser: httpx.Client) -> None:
        headers = {"cookie": f"session={template.session}"}
        state = browser.get("/api/jobs/1", headers=headers).json()
        while not stop.is_set():
            document = {**state["document"], "notes": f"saved as {state['version'] + 1}"}
            body = {"version": state["version"], "document": document}
            answer = browser.put("/api/jobs/1", json=body, headers=headers)
            if answer.status_code != 200:
                answered.strange.append(f"saving: {answer.status_code} {answer.text[:200]}")
                return
            state["version"] = answered.version = answer.json()["version"]

    return save


def _signer(answered: Answered, template: Template, after: float) -> Any:
    def sign(browser: httpx.Client) -> None:
        time.sleep(after)
        values = {"name": "Ines Haugan", "consent": "yes", "fingerprint": template.fingerprint}
        answer = post(browser, "/offer/sign", form({"offer": template.offer}, template.offer, **values))
        answered.is_signed = answer.status_code == 303
        if not answered.is_signed:
            answered.strange.append(f"signing: {answer.status_code} {answer.text[-600:]}")

    return sign


def _faults(template: Template, path: Path, answered: Answered) -> list[str]:
    """Say everything that is not as it must be after a kill."""
    db = open_database(f"sqlite:///{path}")
    faults = [*answered.strange, *check(db).faults]
    db.close()
    with closing(sqlite3.connect(path)) as connection:
        names = [row[0] for row in connection.execute("SELECT name FROM clients")]
        told = connection.execute("SELECT count(*) FROM audit WHERE subject LIKE 'client:%'").fetchone()[0]
        version, document = connection.execute("SELECT version, document FROM jobs WHERE id = 1").fetchone()
        signed = connection.execute("SELECT count(*) FROM sign_offs").fetchone()[0]
        state = connection.execute(
            "SELECT state FROM jobs WHERE id = ?", (template.signable_job,)
        ).fetchone()[0]
    faults += [f"{name} was answered and is lost" for name in answered.clients if name not in names]
    faults += [
        f"{name} is there {names.count(name)} times" for name in answered.sent if names.count(name) > 1
    ]
    if told != len(names):
        faults.append(f"{len(names)} clients but {told} entries in the trail about them")
    if version < answered.version:
        faults.append(f"version {answered.version} was answered, {version} is kept")
    if version > 1 and json.loads(document)["notes"] != f"saved as {version}":
        faults.append(f"version {version} holds the notes of another")
    if answered.is_signed and not signed:
        faults.append("the signature was answered and is lost")
    if (state == "signed") != bool(signed):
        faults.append(f"half a signature: {signed} rows, the job is {state}")
    return faults


def main(kills: int) -> int:
    """Kill so many times; prints the sums and every fault."""
    writes = signatures = 0
    faults: list[str] = []
    with tempfile.TemporaryDirectory() as scratch:
        template = make_template(Path(scratch))
        for seed in range(kills):
            folder = Path(scratch) / f"round-{seed}"
            folder.mkdir()
            answered, found = one_kill(template, folder, seed)
            writes += len(answered.clients) + bool(answered.version)
            signatures += answered.is_signed
            faults += [f"kill {seed}: {fault}" for fault in found]
            shutil.rmtree(folder)
    print(f"{kills} kills, {writes} answered writes, {signatures} signatures, {len(faults)} faults")
    print("\n".join(faults))
    return bool(faults)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 20))
