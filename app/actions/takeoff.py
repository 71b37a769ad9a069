"""Working a job out: the pure chain on what is stored, kept in a small cache of copies."""

import hashlib
from collections import OrderedDict
from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from threading import Lock
from typing import Any

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import JobSheet, Shop, WorkedOut
from app.actions.remembering import Remembering
from app.actions.sheet import job_sheet
from app.agreement.fingerprint import canonical_json
from app.job.errors import InputErrors
from app.job.file import read_job, write_job
from app.job.job import Job
from app.pricing.options import with_options
from app.pricing.price_book import book_for, codes_in
from app.pricing.records import PriceBook
from app.schedule.calendars import calendar_for
from app.schedule.records import Calendar, Crew
from app.store import prices, shop
from app.store.sessions import Session
from app.whole_job import WholeJob, whole_job

# A job without a start is planned from four weeks on: about the lead time of boards. From memory.
USUAL_WAIT = timedelta(weeks=4)
_KEPT_ANSWERS = 64
_KEPT_TEXTS = 256


class _Answers:
    """The last answers of the pure chain. Losing one costs time, never truth."""

    def __init__(self) -> None:
        self._answers: OrderedDict[Any, WholeJob] = OrderedDict()
        self._lock = Lock()

    def get(self, key: Any) -> WholeJob | None:
        with self._lock:
            if key in self._answers:
                self._answers.move_to_end(key)
            return self._answers.get(key)

    def put(self, key: Any, answer: WholeJob) -> None:
        with self._lock:
            self._answers[key] = answer
            while len(self._answers) > _KEPT_ANSWERS:
                self._answers.popitem(last=False)


_answers = _Answers()
_remembering = Remembering()
_texts: OrderedDict[int, tuple[Job, tuple[str, ...]]] = OrderedDict()
_texts_lock = Lock()


def work_out(db: Database, job_id: int, today: date) -> WorkedOut:
    """Everything computed about a job as it stands now; NotFound, Refused while the shop is empty."""
    sheet = job_sheet(db, job_id)
    book, firm = shop_of(db, today, sheet.job)
    return work_out_sheet(sheet, book, firm, today)


def work_out_sheet(sheet: JobSheet, book: PriceBook, firm: Shop, today: date) -> WorkedOut:
    """Everything computed about one sheet with one shop's prices, crews and calendar, options as ticked."""
    shown, sheet = sheet, as_ticked(sheet)
    shown = replace(shown, document=sheet.document, job=sheet.job)
    book = book_for(book, _texts_of(sheet.job))
    crew = crew_of(sheet.crew_code, firm)
    start_on = sheet.start_on or today + USUAL_WAIT
    calendar = calendar_of(firm, start_on, today)
    # The document's hash stands for the job; the rest are frozen records and compare whole.
    key = (sheet.document_sha256, sheet.pricing, book, crew, calendar, start_on, today)
    answer = _answers.get(key)
    if answer is None:
        known = _remembering.known(sheet.job)
        answer = whole_job(known, book, crew, calendar, start_on, today, sheet.pricing, _remembering)
        _answers.put(key, answer)
    return WorkedOut(shown, answer, book, crew, calendar, start_on, today)


def as_ticked(sheet: JobSheet) -> JobSheet:
    """Give a sheet with its job as it is built: options that are ticked in, the others out.

    Where the plan has moved on and an option no longer fits it, the plan stands as drawn; the sheet of
    options says why, and the job is not offered before that is mended.
    """
    if not sheet.pricing.options:
        return sheet
    try:
        return with_ticked(sheet, sheet.pricing.ticked)
    except InputErrors:
        return sheet


def with_ticked(sheet: JobSheet, codes: tuple[str, ...]) -> JobSheet:
    """Give a sheet with its job as it is with these options ticked; InputErrors when that cannot be."""
    document = with_options(sheet.document, sheet.pricing.options, codes)
    sha256 = hashlib.sha256(canonical_json(document).encode()).hexdigest()
    pricing = replace(sheet.pricing, options=(), ticked=codes)
    return replace(sheet, document=document, document_sha256=sha256, job=read_job(document), pricing=pricing)


def shop_of(db: Database, today: date, *for_jobs: Job) -> tuple[PriceBook, Shop]:
    """Give the price book of a day and the firm-wide settings; Refused while nothing is entered.

    With jobs only those items are looked up that they can use, the ones they take by default included.
    """
    with db.read() as session:
        firm = _firm(session)
        named = {code for job in for_jobs for code in _texts_of(job)}
        wanted = codes_in(tuple(named), firm.assemblies)
        items = prices.list_items(session, today, codes=wanted if for_jobs else None)
    return PriceBook(items, firm.assemblies, firm.rules, today), firm


def _texts_of(job: Job) -> tuple[str, ...]:
    """Give every text of a job file, kept for the jobs that were looked at last."""
    with _texts_lock:
        kept = _texts.get(id(job))
        if kept is not None and kept[0] is job:
            _texts.move_to_end(id(job))
            return kept[1]
    found = tuple(codes_in(write_job(job), ()))
    with _texts_lock:
        _texts[id(job)] = (job, found)
        while len(_texts) > _KEPT_TEXTS:
            _texts.popitem(last=False)
    return found


def firm_of(db: Database) -> Shop:
    """Give the firm-wide settings without the price list; Refused while nothing is entered."""
    with db.read() as session:
        return _firm(session)


def _firm(session: Session) -> Shop:
    if not shop.has_shop(session):
        raise Refused("The shop is empty: enter the firm, its rules, prices and a crew first.")
    return shop.read_shop(session)


def crew_of(code: str, firm: Shop) -> Crew:
    """Give the crew with a code; without one, the shop's first. Refused when there is none such."""
    if not firm.crews:
        raise Refused("The shop has no crew yet; add one first.")
    if not code:
        return firm.crews[0]
    for crew in firm.crews:
        if crew.code == code:
            return crew
    raise Refused(f"The shop has no crew {code}; it has {', '.join(crew.code for crew in firm.crews)}.")


def calendar_of(firm: Shop, start_on: date, today: date) -> Calendar:
    """Give the shop's working calendar, from before today until well past the job."""
    years = range(min(start_on, today).year - 1, max(start_on, today).year + 3)
    return _calendar(firm.region, tuple(years), firm.weekdays, firm.days_off)


@lru_cache(maxsize=32)
def _calendar(
    region: str, years: tuple[int, ...], weekdays: tuple[int, ...], days_off: tuple[tuple[date, str], ...]
) -> Calendar:
    return calendar_for(region, years, weekdays, days_off)
