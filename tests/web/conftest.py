"""A server with the demo firm in it, its clock stopped, and somebody signed in."""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi import FastAPI

from app.actions.database import Database, migrate, open_database
from app.actions.demo import load_demo
from app.actions.records import DemoAccount, Role
from app.actions.sign_in import sign_in
from app.actions.tokens import token_hash
from app.documents.proposal import proposal_pdf
from app.store import people
from app.web import routes
from tests import trail_watch
from tests.web.page_client import PageClient, TestClient

NOW = datetime(2026, 5, 4, 9, 30, tzinfo=UTC)
NET_STORE, QUAY_LOFT, HARBOUR = 1, 2, 3  # the demo's jobs, in the order in which they are loaded


@dataclass(frozen=True)
class Demo:
    """A database file with the demo in it, to be copied for every test."""

    path: Path
    account: DemoAccount
    session: str


@dataclass
class Server:
    """A server under test."""

    app: FastAPI
    db: Database
    account: DemoAccount
    session: str = ""

    def visitor(self) -> PageClient:
        """A browser that nobody has signed in with; a failure of ours is answered, not raised."""
        return PageClient(TestClient(self.app, raise_server_exceptions=False))

    def staff(self) -> PageClient:
        """A browser in which the owner has signed in before; hashing a password takes its time."""
        visitor = self.visitor()
        visitor.browser.cookies.set("session", self.session)
        return visitor

    def in_role(self, role: Role) -> PageClient:
        """A browser in which somebody of that role has signed in; no password is hashed for it."""
        token = f"session_of_{role}"
        with self.db.write() as session:
            member = people.add_staff(session, f"One of {role}", f"{role}@example.org", "!", role, NOW)
            people.add_session(session, member.id, token_hash(token), NOW)
        visitor = self.visitor()
        visitor.browser.cookies.set("session", token)
        return visitor


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite"
    migrate(f"sqlite:///{path}")
    db = open_database(f"sqlite:///{path}")
    account = load_demo(db, NOW)
    assert account is not None
    session, _ = sign_in(db, account.email, account.password, NOW)
    db.close()
    return Demo(path, account, session)


def _serve(url: str, account: DemoAccount, *, is_secure: bool = False) -> Server:
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    app.state.clock = lambda: NOW
    db = open_database(url)
    routes.install(app, db, proposal_pdf, is_secure=is_secure)
    return Server(app, db, account)


@pytest.fixture
def server(demo: Demo, tmp_path: Path) -> Iterator[Server]:
    copy = shutil.copy(demo.path, tmp_path / "test.sqlite")
    served = _serve(f"sqlite:///{copy}", demo.account)
    served.session = demo.session
    with trail_watch.watching(served.db) as unnoted:
        yield served
    served.db.close()
    assert not unnoted, "the shop was changed past the trail"


@pytest.fixture
def secure_server(demo: Demo, tmp_path: Path) -> Iterator[Server]:
    copy = shutil.copy(demo.path, tmp_path / "secure.sqlite")
    served = _serve(f"sqlite:///{copy}", demo.account, is_secure=True)
    yield served
    served.db.close()


@pytest.fixture
def empty_server(tmp_path: Path) -> Iterator[Server]:
    url = f"sqlite:///{tmp_path / 'empty.sqlite'}"
    migrate(url)
    served = _serve(url, DemoAccount("", ""))
    yield served
    served.db.close()


@pytest.fixture
def staff(server: Server) -> PageClient:
    return server.staff()


@pytest.fixture
def visitor(server: Server) -> PageClient:
    return server.visitor()
