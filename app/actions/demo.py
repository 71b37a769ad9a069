"""The demo firm, loaded into an empty database. Everything in it is invented, and says so."""

import json
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from pwdlib import PasswordHash
from pydantic import TypeAdapter

from app.actions.clients import add_client
from app.actions.clock import day_of
from app.actions.database import Database
from app.actions.days import set_days
from app.actions.errors import Refused
from app.actions.jobs import add_job, job_sheet, set_state
from app.actions.offer import make_link, offer
from app.actions.records import DemoAccount, StaffMember
from app.actions.shop_files import put_shop_files, read_shop_files
from app.build.warranty import WarrantyTerm
from app.documents.proposal import proposal_pdf
from app.settings import SEED_DATA
from app.store import audit, handover, jobs, people, shop

EMAIL = "demo@skerrow-roof-carpentry.example"
_DEMO = StaffMember(0, "Demo", EMAIL, "owner")
_LINK_DAYS = 30


@dataclass(frozen=True, slots=True)
class _DemoJob:
    """One job file of the demo, who asks for it, and how far it has come."""

    file: str
    client: tuple[str, str, str, str]
    crew: str
    starts_in: timedelta
    state: str


_JOBS = (
    _DemoJob(
        "net-store",
        (
            "Oddny Vale (invented)",
            "oddny@example.org",
            "+1 207 555 0117",
            "Old Net Store, Slip Lane, Skerrow",
        ),
        "",
        timedelta(0),
        "surveyed",
    ),
    _DemoJob(
        "quay-loft",
        ("Ines and Tor Haugan (invented)", "haugan@example.org", "+1 207 555 0183", "9 Quay Rise, Skerrow"),
        "south",
        timedelta(weeks=6),
        "offered",
    ),
    _DemoJob(
        "harbour-workshop",
        ("Skerrow Boat Shop (invented)", "yard@example.org", "+1 207 555 0165", "1 Harbour Road, Skerrow"),
        "north",
        timedelta(weeks=5),
        "priced",
    ),
)


def load_demo(db: Database, now: datetime) -> DemoAccount | None:
    """Load the whole demo firm: shop, owner, clients and jobs; None when the database is not empty."""
    account = begin_demo(db, now)
    return fill_demo(db, account, now) if account else None


def begin_demo(db: Database, now: datetime) -> DemoAccount | None:
    """Load shop and owner, which is quick, in one transaction; None when the database is not empty."""
    password = secrets.token_urlsafe(12)
    with db.write() as session:
        if people.count_staff(session) or shop.has_shop(session) or jobs.count_jobs(session):
            return None
        put_shop_files(session, read_shop_files(SEED_DATA / "shop"), _DEMO.name, now)
        handover.put_warranty_terms(session, _warranty(), _DEMO.name, now)
        audit.note(session, now, _DEMO.name, "loaded the demo firm", "shop", (None, 1))
        hashed = PasswordHash.recommended().hash(password)
        member = people.add_staff(session, _DEMO.name, EMAIL, hashed, "owner", now)
        audit.note(session, now, _DEMO.name, "made the demo's account", f"staff:{member.id}")
    return DemoAccount(EMAIL, password)


def _warranty() -> tuple[WarrantyTerm, ...]:
    """Read the invented warranty of the demo firm."""
    read = json.loads((SEED_DATA / "warranty.json").read_text(encoding="utf-8"))
    return TypeAdapter(tuple[WarrantyTerm, ...]).validate_python(read["terms"])


def fill_demo(db: Database, account: DemoAccount, now: datetime) -> DemoAccount:
    """Work out, offer and file the demo's jobs, which takes some seconds; gives the client's link too."""
    notes, token = [], ""
    for demo_job in _JOBS:
        try:
            token = _load_job(db, demo_job, now) or token
        except Refused as refusal:
            notes.append(f"{demo_job.file}: {refusal.reason} {' '.join(refusal.details)}".strip())
    return DemoAccount(account.email, account.password, token, tuple(notes))


def _load_job(db: Database, demo_job: _DemoJob, now: datetime) -> str:
    """Load one job and bring it as far as it goes; gives the token of its link, if it has one."""
    text = (SEED_DATA / "jobs" / f"{demo_job.file}.json").read_text(encoding="utf-8")
    client_id = add_client(db, _DEMO, *demo_job.client, now)
    job_id = add_job(db, _DEMO, client_id, "", json.loads(text), now)
    if demo_job.state == "surveyed":
        return ""
    start_on = day_of(now) + demo_job.starts_in
    set_days(db, _DEMO, job_id, job_sheet(db, job_id).version, demo_job.crew, start_on, now)
    set_state(db, _DEMO, job_id, "priced", now)
    if demo_job.state == "priced":
        return ""
    card = offer(db, _DEMO, job_id, now, proposal_pdf)
    return make_link(db, _DEMO, card.id, _LINK_DAYS, now)
