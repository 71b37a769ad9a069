"""Working a job out: the pure chain on what is stored, kept in a small cache of copies."""

import hashlib
from collections import OrderedDict
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache
from threading import Lock
from typing import Any

from app.actions.as_it_stands import Same, as_it_stands, read_shop, shop_now
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import JobSheet, Shop, WorkedOut
from app.actions.remembering import Remembering
from app.actions.sheet import job_sheet
from app.agreement.fingerprint import canonical_json
from app.job.errors import InputErrors
from app.job.file import read_job, write_job
from app.job.job import Job
from app.pricing.job_pricing import JobPricing
from app.pricing.options import with_options
from app.pricing.price_book import book_for, codes_in
from app.pricing.records import PriceBook
from app.schedule.calendars import calendar_for
from app.schedule.records import Calendar, Crew
from app.store import prices
from app.store.sessions import Session
from app.whole_job import WholeJob, whole_job

# A job without a start is planned from four weeks on: about the lead time of boards. From memory.
USUAL_WAIT = timedelta(weeks=4)
# An answer takes about a megabyte, less where jobs share their parts. Every page of days works out all jobs
# that are planned: with room for fewer each of them would push out the next, and none would be found again.
# So there is room for as many as were ever asked for at once and some more, up to what a machine can hold.
_KEPT_ANSWERS = 128
_SOME_MORE = 32
_MOST_ANSWERS = 512
_KEPT_TEXTS = _MOST_ANSWERS
_KEPT_BOOKS = 32


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a job was worked out from. The document's hash stands for the job; the rest compare whole."""

    document_sha256: str
    pricing: JobPricing
    book: PriceBook
    crew: Crew
    calendar: Calendar
    start_on: date
    today: date

    def __hash__(self) -> int:
        """Hash the short part alone: equality tells the rest apart, and a price book is long."""
        return hash((self.document_sha256, self.start_on, self.today, self.crew.code))


class _Answers:
    """The last answers of the pure chain. Losing one costs time, never truth."""

    def __init__(self) -> None:
        self._answers: OrderedDict[Any, WholeJob] = OrderedDict()
        self._most = _KEPT_ANSWERS
        self._lock = Lock()

    def make_room(self, jobs: int) -> None:
        """Keep at least as many answers as there are jobs asked for at once."""
        self._most = min(_MOST_ANSWERS, max(self._most, jobs + _SOME_MORE))

    def get(self, key: Any) -> WholeJob | None:
        with self._lock:
            if key in self._answers:
                self._answers.move_to_end(key)
            return self._answers.get(key)

    def put(self, key: Any, answer: WholeJob) -> None:
        with self._lock:
            self._answers[key] = answer
            while len(self._answers) > self._most:
                self._answers.popitem(last=False)


class _Narrowed:
    """The part of a price book that one job can use, kept by the very book and texts it was made from."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[int, int], tuple[PriceBook, tuple[str, ...], PriceBook]] = OrderedDict()
        self._lock = Lock()

    def book(self, whole: PriceBook, texts: tuple[str, ...]) -> PriceBook:
        key = id(whole), id(texts)  # both are kept with the answer, so that no other thing has their place
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key][2]
        found = book_for(whole, texts)
        with self._lock:
            self._kept[key] = whole, texts, found
            while len(self._kept) > _MOST_ANSWERS:
                self._kept.popitem(last=False)
        return found


_answers = _Answers()
_books: Same[PriceBook] = Same(_KEPT_BOOKS)
_narrowed = _Narrowed()
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
    book = _narrowed.book(book, _texts_of(sheet.job))
    crew = crew_of(sheet.crew_code, firm)
    start_on = sheet.start_on or today + USUAL_WAIT
    calendar = calendar_of(firm, start_on, today)
    key = _Asked(sheet.document_sha256, sheet.pricing, book, crew, calendar, start_on, today)
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
    _answers.make_room(len(for_jobs))
    named = frozenset(code for job in for_jobs for code in _texts_of(job)) if for_jobs else None
    return as_it_stands(db, ("prices", today, named), lambda session: _shop_of(session, today, named))


def _shop_of(session: Session, today: date, named: frozenset[str] | None) -> tuple[PriceBook, Shop]:
    firm = _opened(read_shop(session))
    if named is None:
        return PriceBook(prices.list_items(session, today), firm.assemblies, firm.rules, today), firm
    items = prices.list_items(session, today, codes=codes_in(tuple(named), firm.assemblies))
    return _books.as_before(PriceBook(items, firm.assemblies, firm.rules, today)), firm


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
    return _opened(shop_now(db))


def _opened(firm: Shop | None) -> Shop:
    if firm is None:
        raise Refused("The shop is empty: enter the firm, its rules, prices and a crew first.")
    return firm


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
