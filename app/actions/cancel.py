"""The right to cancel what was signed: its clock by the law frozen with it, and a notice through the link."""

from dataclasses import replace
from datetime import date, datetime

from app.actions.clock import day_at
from app.actions.database import Database
from app.actions.door import open_link
from app.actions.errors import Refused
from app.actions.frozen import FrozenInputs, read_inputs
from app.actions.never_kept import refuse_numbers
from app.actions.records import RevisionCard, Shop
from app.actions.sheet import subject
from app.agreement.records import Cancellation
from app.agreement.withdrawal import OWN, WithdrawalClock, WithdrawalRule, clock, last_day, preset
from app.schedule.calendars import calendar_for
from app.store import audit, jobs, links, offers, signed
from app.store.sessions import Session

EVERY_DAY = (0, 1, 2, 3, 4, 5, 6)


def rule_of(firm: Shop) -> WithdrawalRule | None:
    """Give the clock that the firm chose: a preset, its own, or none."""
    if firm.withdrawal == OWN:
        return firm.terms.own_clock
    return preset(firm.withdrawal) if firm.withdrawal else None


def holidays_of(rule: WithdrawalRule, on: date) -> tuple[date, ...]:
    """Give the public holidays that a clock started on a day can meet; the firm's own leave is none."""
    if not rule.holidays:
        return ()
    return tuple(day for day, _ in calendar_for(rule.holidays, (on.year, on.year + 1), EVERY_DAY).days_off)


def last_days(rule: WithdrawalRule | None, signed_on: tuple[date, ...]) -> tuple[tuple[date, date], ...]:
    """Give for each day of signing the last day to cancel, as far as the day of signing tells it."""
    if rule is None:
        return ()
    return tuple((on, last_day(rule, on, holidays_of(rule, on))) for on in signed_on)


def if_signed_on(inputs: FrozenInputs, on: date) -> tuple[tuple[date, date], ...]:
    """Give a day and the last one to cancel, were it signed then; nothing where that does not tell."""
    rule = inputs.clock
    if rule is None or rule.starts_when not in ("signed", "information given"):
        return ()
    return last_days(rule, (on,))


def clock_of(
    session: Session,
    card: RevisionCard,
    inputs: FrozenInputs,
    today: date,
    otherwise: WithdrawalRule | None = None,
) -> WithdrawalClock | None:
    """Give the clock of what was signed, by the law and in the time zone frozen with it.

    Where none was frozen, that of `otherwise`; None without either.
    """
    given = card.was_signed
    rule = inputs.clock or (preset(inputs.withdrawal) if inputs.withdrawal else otherwise)
    if given is None or rule is None:
        return None
    begun_at: datetime | None = given.signed_at
    if rule.starts_when == "copy delivered":
        begun_at = signed.copy_delivered_at(session, card.id, given.signed_at)
    elif rule.starts_when == "goods delivered":
        begun_at = None
    begun_on = day_at(begun_at, inputs.time_zone) if begun_at else today
    if inputs.clock is None and inputs.withdrawal:
        # Offers from before the clock was frozen were reckoned by the firm's own calendar.
        off = tuple(day for day, _ in inputs.calendar.days_off)
    else:
        off = holidays_of(rule, begun_on)
    found = clock(rule, begun_on, off, today)
    return replace(found, has_begun=begun_at is not None)


def cancel(
    db: Database,
    cookie: str,
    name: str,
    words: str,
    now: datetime,
    address: str,
    browser: str,
) -> None:
    """Take a client's notice that it cancels, while it may; again it changes nothing. Refused, LinkClosed."""
    name, words = name.strip(), words.strip()[:2000]
    if not any(letter.isalpha() for letter in name):
        raise Refused("Type your full name below the notice.")
    refuse_numbers(name, words)
    with db.write() as session:
        opening = open_link(session, cookie, now)
        revision_id = opening.link.revision_id
        offers.lock_revision(session, revision_id)
        card, inputs = _card(session, revision_id, now)
        if card.cancelled is not None:
            return
        if card.was_signed is None:
            raise Refused("Nothing was signed here, so there is nothing to cancel.")
        found = clock_of(session, card, inputs, day_at(now, inputs.time_zone))
        if found is None:
            raise Refused(
                "This page takes no notice of cancellation. Write to the firm; the law may say more."
            )
        if not found.is_running:
            raise Refused(
                f"The time to cancel on this page ended at midnight at the end of {found.last_day_on}. "
                "Write to the firm; the law may say more."
            )
        given = Cancellation(name[:200], words, now, address, browser)
        signed.add_cancellation(session, revision_id, opening.link.id, given)
        links.add_event(session, opening.link.id, "cancelled", now)
        stored = jobs.find_job(session, card.job_id, for_change=True)
        assert stored is not None
        if stored.state in ("offered", "signed"):
            jobs.put_state(session, card.job_id, "let go", now)
        what = f"cancelled revision {card.number}, received {now:%Y-%m-%d %H:%M:%S} UTC: {words[:200]}"
        audit.note(session, now, f"client: {given.name}", what, subject(card.job_id))


def _card(session: Session, revision_id: int, now: datetime) -> tuple[RevisionCard, FrozenInputs]:
    frozen = offers.frozen_with(session, revision_id)
    assert frozen is not None
    inputs = read_inputs(frozen.inputs)
    card = offers.find_revision(session, revision_id, day_at(now, inputs.time_zone))
    assert card is not None
    return card, inputs
