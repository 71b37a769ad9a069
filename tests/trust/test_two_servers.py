"""Two server processes on one database: edits and signatures at the same moment, on PostgreSQL and SQLite."""

import multiprocessing
import shutil
import socket
import threading
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from sqlalchemy import text

from app.actions.backup import check
from app.actions.database import Database, open_database
from app.actions.demo import load_demo
from app.actions.sign import exchange
from app.actions.sign_in import sign_in
from tests import postgres
from tests.trust.kill import Template, form, post, serve_url, wait_until_up

EDITS, WRITERS = 12, 8


@dataclass(frozen=True)
class Pair:
    """Two addresses of one firm, and whoever may use them."""

    db: Database
    addresses: tuple[str, str]
    session: str
    offer: str
    fingerprint: str


@pytest.fixture(params=["sqlite", *(["postgresql"] if postgres.IS_HERE else [])])
def pair(request: pytest.FixtureRequest, template: Template, tmp_path: Path) -> Iterator[Pair]:
    session, offer, mark = template.session, template.offer, template.fingerprint
    if request.param == "postgresql":
        url = request.getfixturevalue("cluster").make("migrated")
        db = open_database(url)
        session, offer, mark = filled(db)
    else:
        url = f"sqlite:///{shutil.copy(template.path, tmp_path / 'upstand.sqlite')}"
        db = open_database(url)
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["app.main", "uvicorn"])
    children, addresses = [], []
    for _ in range(2):
        with socket.create_server(("127.0.0.1", 0)) as listener:
            addresses.append(f"http://127.0.0.1:{listener.getsockname()[1]}")
            child = context.Process(target=serve_url, args=(str(tmp_path), url, listener), daemon=True)
            child.start()
            children.append(child)
    for address in addresses:
        wait_until_up(address)
    yield Pair(db, (addresses[0], addresses[1]), session, offer, mark)
    for child in children:
        child.terminate()
        child.join(20)
    db.close()


def filled(db: Database) -> tuple[str, str, str]:
    """Load the demo; gives a session, the client's cookie and what there is to sign."""
    now = datetime.now(UTC)
    account = load_demo(db, now)
    assert account is not None
    session, _ = sign_in(db, account.email, account.password, now)
    offer = exchange(db, account.client_token, now)
    with db.read() as reading:
        mark = reading.execute(text("SELECT fingerprint FROM revisions")).scalar_one()
    return session, offer, mark


def at_once(work: list[object]) -> None:
    threads = [threading.Thread(target=one) for one in work]  # type: ignore[arg-type]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


@pytest.mark.xdist_group("kill")
def test_edits_and_signatures_at_once_are_each_kept_once(pair: Pair) -> None:
    answers: Counter[int] = Counter()
    signed: Counter[int] = Counter()
    added: Counter[int] = Counter()
    lock = threading.Lock()

    def edit(address: str, who: int) -> None:
        headers = {"cookie": f"session={pair.session}"}
        with httpx.Client(base_url=address, timeout=60, headers=headers) as browser:
            for number in range(EDITS):
                state = browser.get("/api/jobs/1").json()
                document = {**state["document"], "notes": f"writer {who}, edit {number}"}
                body = {"version": state["version"], "document": document}
                status = browser.put("/api/jobs/1", json=body).status_code
                with lock:
                    answers[status] += 1

    def add(address: str, who: int) -> None:
        with httpx.Client(base_url=address, timeout=60) as browser:
            for number in range(EDITS):
                sent = form({"session": pair.session}, pair.session, name=f"{who}/{number}")
                status = post(browser, "/clients/new", sent).status_code
                with lock:
                    added[status] += 1

    def sign(address: str) -> None:
        values = {"name": "Ines Haugan", "consent": "yes", "fingerprint": pair.fingerprint}
        with httpx.Client(base_url=address, timeout=60) as browser:
            status = post(
                browser, "/offer/sign", form({"offer": pair.offer}, pair.offer, **values)
            ).status_code
            with lock:
                signed[status] += 1

    at_once(
        [
            *(lambda who=who: edit(pair.addresses[who % 2], who) for who in range(WRITERS // 2)),
            *(lambda who=who: add(pair.addresses[who % 2], who) for who in range(WRITERS // 2)),
            *(lambda who=who: sign(pair.addresses[who % 2]) for who in range(4)),
        ]
    )
    assert set(answers) <= {200, 409}, answers
    assert added == {303: EDITS * WRITERS // 2}
    assert signed == {303: 4}
    with pair.db.read() as session:
        version = session.execute(text("SELECT version FROM jobs WHERE id = 1")).scalar_one()
        rows = session.execute(text("SELECT count(*) FROM sign_offs")).scalar_one()
        clients = session.execute(text("SELECT count(*) FROM clients")).scalar_one()
    assert version == 1 + answers[200]
    assert rows == 1
    assert clients == 3 + EDITS * WRITERS // 2
    assert check(pair.db).faults == ()
