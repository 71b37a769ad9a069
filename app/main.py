"""The server: opens the database, brings it up to date, loads the demo when asked, serves the pages."""

import asyncio
import gc
import logging
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import UTC, datetime, timedelta

from fastapi import FastAPI
from fastapi.responses import PlainTextResponse
from sqlalchemy import text

from app.actions.demo import begin_demo, fill_demo
from app.actions.records import DemoAccount
from app.actions.sign_in import needs_owner
from app.documents.proposal import proposal_pdf
from app.settings import Settings
from app.store.backup import BackupError
from app.store.database import Database, Unreachable, open_database
from app.store.far_backups import FarTarget, far_target, send_newest
from app.store.kept_backups import BackupPlan, back_up_when_due, newest_backup_at
from app.store.upgrade import bring_up_to_date, is_up_to_date
from app.web import watching
from app.web.routes import install
from app.web.watching import Figures

log = logging.getLogger("upstand")
BACKUP_LOOK_SECONDS = 300.0


def create_app(settings: Settings | None = None) -> FastAPI:
    """Make the server's app; the database is brought up to date when it starts, not before."""
    settings = settings or Settings()
    _far_target(settings)  # a setting that cannot be read is said now, not at night
    database = open_database(settings.url)
    # No page that describes the API by itself: the public sees what is meant for it.
    app = FastAPI(
        title="Upstand",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        lifespan=_lifespan(database, settings),
    )

    @app.get("/health")
    def health() -> PlainTextResponse:
        """Tell whoever watches the server that it answers and reaches its database."""
        with database.read() as session:
            session.execute(text("SELECT 1"))
        return PlainTextResponse("ok")

    @app.get("/ready")
    def ready() -> PlainTextResponse:
        """Tell whoever spreads requests whether this process may have some: its tables are up to date."""
        try:
            is_ready = is_up_to_date(database)
        except Unreachable:
            is_ready = False
        return PlainTextResponse("ready" if is_ready else "not ready", status_code=200 if is_ready else 503)

    install(app, database, proposal_pdf, is_secure=settings.secure_cookies, address=settings.address)
    app.state.figures = watching.install(app, settings.metrics_token)
    return app


def _lifespan(
    database: Database, settings: Settings
) -> Callable[[FastAPI], AbstractAsyncContextManager[None]]:
    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        if settings.log == "json":
            watching.start_log()
        bring_up_to_date(database)
        account = begin_demo(database, datetime.now(UTC)) if settings.demo else None
        _say_how_to_sign_in(settings, account, is_new=needs_owner(database))
        # Start-up leaves some 90 000 objects that live as long as the server: out of every collection.
        gc.collect()
        gc.freeze()
        # An answer is some thousands of small records that live on: looking for rings of them after every
        # few hundred takes a twentieth of an edit's time.
        gc.set_threshold(50_000, 20, 20)
        # The demo's jobs take seconds to work out; nobody waits for them in front of a blank page.
        filling = asyncio.create_task(_fill(database, settings, account)) if account else None
        keeping = asyncio.create_task(_keep_backups(database, settings, app.state.figures))
        yield
        keeping.cancel()
        if filling is not None:
            await filling
        database.close()

    return lifespan


async def _fill(database: Database, settings: Settings, account: DemoAccount) -> None:
    """Load the demo's jobs beside the running server, then say how its client gets in."""
    try:
        whole = await asyncio.to_thread(fill_demo, database, account, datetime.now(UTC))
    except Exception:
        log.exception("the demo's jobs could not be loaded")
        print("The demo's jobs could not be loaded; the rest works.", flush=True)
        return
    lines = [f"  note: {note}" for note in whole.notes]
    if whole.client_token:
        lines.append(f"  as its client: {settings.address}/s/{whole.client_token}")
    print("\n".join(["The demo's jobs are there.", *lines]), flush=True)


async def _keep_backups(database: Database, settings: Settings, figures: Figures) -> None:
    """Back up by the clock as long as the server runs; a database server looks after its own."""
    if not settings.backup_every_h or not database.is_sqlite:
        return
    plan = BackupPlan(settings.backups, timedelta(hours=settings.backup_every_h), settings.backup_keep)
    far = _far_target(settings)
    is_behind = far is not None
    while True:
        # First after a while: a start is no time for heavy work.
        await asyncio.sleep(BACKUP_LOOK_SECONDS)
        try:
            made = await asyncio.to_thread(back_up_when_due, database, plan, datetime.now(UTC))
            for fault in made.faults if made else ():
                log.error("backed up, but not as it was written: %s", fault)
            newest = newest_backup_at(plan.folder)
            figures.last_backup.set(newest.timestamp() if newest else 0)
            is_behind = is_behind or (far is not None and made is not None)
            if far is not None and is_behind:
                sent = await asyncio.to_thread(send_newest, far, plan.folder, plan.keep)
                is_behind = sent is None
                figures.last_sent.set(newest.timestamp() if sent and newest else 0)
        except (BackupError, OSError) as fault:
            log.error("the backup by the clock was not made or not sent: %s", fault)


def _far_target(settings: Settings) -> FarTarget | None:
    """Give where backups by the clock are also sent; BackupError when the setting is no such address."""
    if not settings.backup_s3:
        return None
    access = (settings.backup_s3_key, settings.backup_s3_secret)
    return far_target(settings.backup_s3, settings.backup_s3_endpoint, settings.backup_s3_region, *access)


def _say_how_to_sign_in(settings: Settings, account: DemoAccount | None, *, is_new: bool) -> None:
    """Print the address, and the way in where there is something to say about it."""
    lines = [f"Upstand serves {settings.address}"]
    if account is not None:
        lines.append("Sign in to the invented demo firm (shown this once):")
        lines.append(f"  e-mail {account.email}  password {account.password}")
        lines.append("Its jobs are being worked out and follow within half a minute.")
    elif is_new:
        lines.append("Nobody can sign in yet: the first visitor makes the owner's account.")
    print("\n".join(lines), flush=True)
