"""Working out a job file without keeping it: for the command line and for benchmarks."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from app.actions.database import Database, open_database
from app.actions.errors import Refused
from app.actions.facts import stops_in
from app.actions.records import ProposalInputs, Renderer, Shop
from app.actions.shop_files import read_shop_files, shop_as_of
from app.actions.takeoff import USUAL_WAIT, calendar_of, crew_of, shop_of
from app.agreement.records import Party
from app.agreement.revision import make_revision
from app.agreement.terms import terms_in, wording_in
from app.job.errors import InputError, InputErrors
from app.job.file import read_job_text
from app.job.job import Job
from app.pricing.records import PriceBook
from app.settings import SEED_DATA
from app.store import shop
from app.store.upgrade import is_up_to_date
from app.whole_job import WholeJob, whole_job


@dataclass(frozen=True, slots=True)
class ShopInUse:
    """A shop's prices and settings on one day, and where they come from, for the reader."""

    book: PriceBook
    firm: Shop
    name: str


@dataclass(frozen=True, slots=True)
class FileAnswer:
    """A job file and everything computed about it."""

    job: Job
    answer: WholeJob
    shop: ShopInUse
    start_on: date
    today: date


def shop_in_use(url: str, folder: Path | None, today: date) -> ShopInUse:
    """Give the shop of a folder when one is named, else that of the database, else the demo's."""
    if folder is not None:
        book, firm = shop_as_of(read_shop_files(folder), today)
        return ShopInUse(book, firm, f"the shop in {folder}")
    kept = _shop_of_database(url, today)
    if kept is not None:
        return kept
    book, firm = shop_as_of(read_shop_files(SEED_DATA / "shop"), today)
    return ShopInUse(book, firm, "the demo shop (invented prices)")


def read_job_path(path: Path) -> Job:
    """Read a job file; InputErrors when it cannot be opened or read."""
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as fault:
        reason = "is not UTF-8 text" if isinstance(fault, UnicodeDecodeError) else fault.strerror
        wanted = f"The file cannot be read ({reason}). Name a job file."
        raise InputErrors((InputError("JOBFILE", str(path), wanted),)) from fault
    return read_job_text(text)


def answer_file(
    job: Job, shop_used: ShopInUse, today: date, start_on: date | None = None, crew_code: str = ""
) -> FileAnswer:
    """Work a job out; InputErrors when the shop has no such crew."""
    start_on = start_on or today + USUAL_WAIT
    try:
        crew = crew_of(crew_code, shop_used.firm)
    except Refused as refusal:
        raise InputErrors((InputError("--crew", crew_code, refusal.reason),)) from refusal
    calendar = calendar_of(shop_used.firm, start_on, today)
    answer = whole_job(job, shop_used.book, crew, calendar, start_on, today)
    return FileAnswer(job, answer, shop_used, start_on, today)


def proposal_of(answered: FileAnswer, client: Party, renderer: Renderer) -> bytes:
    """Print the proposal a job file would give; Refused while a stop stands.

    It is not kept anywhere and has the number 0: only an offer made in the program can be signed.
    """
    stops = stops_in(answered.answer)
    if stops:
        raise Refused("Settle what stops the job before printing its proposal.", stops)
    firm = answered.shop.firm
    frozen = {"job": answered.job, "prices": answered.shop.book, "today": answered.today}
    try:
        revision = make_revision(0, answered.today, answered.answer.estimate, firm.rules, frozen)
    except ValueError as fault:
        raise Refused(str(fault)) from fault
    return renderer(
        ProposalInputs(
            firm=firm.firm,
            client=client,
            job=answered.job,
            job_number=answered.job.id,
            answer=answered.answer,
            revision=revision,
            wording=wording_in(firm.wording, firm.terms.language),
            terms=terms_in(firm.terms, firm.terms.language),
            site_address=client.address,
        )
    )


def _shop_of_database(url: str, today: date) -> ShopInUse | None:
    """Give the shop of the database; None when there is no database, or no shop in it yet."""
    if url.startswith("sqlite:///") and not Path(url.removeprefix("sqlite:///")).is_file():
        return None
    db = open_database(url)
    try:
        return _shop_in(db, today)
    finally:
        db.close()


def _shop_in(db: Database, today: date) -> ShopInUse | None:
    if not is_up_to_date(db):
        raise Refused(
            "The database is of another version of the program. Run `upstand serve` once, which brings it up "
            "to date, or name a shop's folder with --shop."
        )
    with db.read() as session:
        if not shop.has_shop(session):
            return None
    book, firm = shop_of(db, today)
    return ShopInUse(book, firm, f"the shop of {firm.firm.name}")
