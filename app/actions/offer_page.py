"""Round the offer: what it still lacks, and the link sent by mail."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime

from app.actions.cancel import rule_of
from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.mail import Letter, send
from app.actions.never_kept import refuse_numbers
from app.actions.records import Shop, StaffMember, WorkedOut
from app.actions.sheet import job_sheet, subject
from app.actions.shop import shop
from app.agreement.checklist import OfferFacts, Point, checklist, missing
from app.agreement.presets import is_old, law_preset, old_words
from app.agreement.records import Party
from app.agreement.stages import DEPOSIT_CAPS
from app.agreement.terms import Language, terms_in, wording_in
from app.store import audit

Unsaid = tuple[tuple[int, str, str], ...]
SHORTEST_REASON = 4


def offer_points(db: Database, worked: WorkedOut, language: Language | None = None) -> tuple[Point, ...]:
    """Hold the offer as it would go out now, in a language, against the list of what it should say."""
    firm = shop(db)
    return points_of(worked, spoken(firm, language or firm.terms.language))


def spoken(firm: Shop, language: Language) -> Shop:
    """Give the firm's wording and particulars in the language of one offer."""
    return replace(firm, wording=wording_in(firm.wording, language), terms=terms_in(firm.terms, language))


def unsaid_points(
    points: tuple[Point, ...], standing: tuple[tuple[int, str], ...], reasons: Mapping[int, str]
) -> Unsaid:
    """Give the points an offer does not say, each with its reason; Refused while one has none."""
    known = {**dict(standing), **{number: text for number, text in reasons.items() if text.strip()}}
    refuse_numbers(*known.values())
    lacking = missing(points)
    bare = [p for p in lacking if len(known.get(p.number, "").strip()) < SHORTEST_REASON]
    if bare:
        raise Refused(
            "The offer does not say all that it should. Enter what is missing, or write beside each point "
            "why this offer goes out without it.",
            tuple(f"Point {p.number}: {p.text}. Enter it under {p.where}." for p in bare),
        )
    return tuple((p.number, p.text, known[p.number].strip()) for p in lacking)


def old_law(db: Database, today: date) -> tuple[str, ...]:
    """Say what of the firm's law was read or checked too long ago, or does not fit its rules."""
    firm = shop(db)
    return (*_unfit(firm), *_too_old(firm, today))


def _unfit(firm: Shop) -> tuple[str, ...]:
    """Say that clients of the region are to see prices with tax, where they would not."""
    preset = law_preset(firm.terms.law)
    if preset is None or not preset.tax_inside or firm.rules.tax_shown == "inside":
        return ()
    return (
        f"{preset.name}: consumers are to be shown prices with the tax in them. Set tax on the contract and "
        f"prices with the tax in them under Rules, or have it checked that you need not ({preset.source}).",
    )


def _too_old(firm: Shop, today: date) -> tuple[str, ...]:
    terms, months = firm.terms, firm.terms.law_months
    checked = terms.law_checked_on
    if checked is not None and not is_old(checked, today, months):
        return ()
    chosen: list[tuple[str, date | None]] = []
    preset = law_preset(terms.law)
    rule = rule_of(firm)
    cap = next((cap for cap in DEPOSIT_CAPS if cap.code == firm.deposit_cap), None)
    chosen += [(preset.name, preset.read_on)] if preset else []
    chosen += [(f"Right to cancel, {rule.name}", rule.read_on)] if rule else []
    chosen += [(f"Cap on the deposit, {cap.name}", cap.read_on)] if cap else []
    found = [old_words(name, read_on, today, months) for name, read_on in chosen]
    if checked is not None:
        found.append(old_words("The firm's own check of local law", checked, today, months))
    return tuple(words for words in found if words)


def points_of(worked: WorkedOut, firm: Shop) -> tuple[Point, ...]:
    """Hold an offer in the firm's name against the list of what it should say."""
    client = worked.sheet.client
    return checklist(
        OfferFacts(
            firm=firm.firm,
            client=Party(client.name, client.address, client.phone, client.email),
            site_address=client.address,
            terms=firm.terms,
            wording=firm.wording,
            has_withdrawal=bool(firm.withdrawal),
            has_deposit_cap=bool(firm.deposit_cap),
            has_stages=worked.answer.estimate.total > 0,
            has_days=bool(worked.answer.days.days),
            names_boards=bool(worked.sheet.job.choices.boards),
        )
    )


def send_link(db: Database, staff: StaffMember, job_id: int, address: str, now: datetime) -> None:
    """Send a client its link by mail; Refused when there is no address or the server does not take it."""
    sheet, firm = job_sheet(db, job_id), shop(db).firm
    if not sheet.client.email:
        raise Refused("The client has no e-mail address; copy the link and send it yourself.")
    text = (
        f"{sheet.client.name},\n\nyour proposal for {sheet.title} ({sheet.number}) lies here to read, to ask "
        f"about and to sign:\n\n{address}\n\nThe link is yours alone; it runs out after some "
        f"days.\n\n{firm.name}\n{firm.phone}\n"
    )
    send(db, Letter(sheet.client.email, f"Proposal {sheet.number} by {firm.name}", text, job_id), now)
    with db.write() as session:
        audit.note(session, now, staff.name, f"sent the link to {sheet.client.email}", subject(job_id))
