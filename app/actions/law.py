"""Local law in the shop: a region's preset taken over, the firm's own clock, and when all was checked."""

from dataclasses import replace
from datetime import date, datetime

from app.actions.database import Database
from app.actions.errors import Refused
from app.actions.records import StaffMember
from app.actions.shop import save_law, save_rules, save_terms, save_wording, shop
from app.agreement.presets import LAW_PRESETS, PARTICULARS, law_preset, particulars_in, put_wording
from app.agreement.withdrawal import OWN, WithdrawalRule
from app.measure.errors import InputError
from app.schedule.calendars import calendar_for

LONGEST_DAYS = 120


def take_over(db: Database, staff: StaffMember, version: int, code: str, now: datetime) -> int:
    """Put a region's preset into the shop: clock, cap, wording, and particulars that are still blank.

    What the firm has written itself stays; the preset's own statement beside the signature takes its place,
    in every language. Where consumers must see prices with tax, tax on the contract is shown in them.
    Gives the shop's new version. Refused, StaleSave.
    """
    found = law_preset(code)
    if found is None:
        raise Refused(f"There is no preset {code}; there are {', '.join(one.code for one in LAW_PRESETS)}.")
    version = save_law(db, staff, version, found.withdrawal, found.deposit_cap, now)
    firm = shop(db)
    version = save_wording(db, staff, version, put_wording(firm.wording, found), now)
    if found.tax_inside and firm.rules.tax_on == "contract":
        version = save_rules(db, staff, version, replace(firm.rules, tax_shown="inside"), now)
    blank = {
        name: getattr(found, name)
        for name in PARTICULARS
        if getattr(found, name) and not getattr(firm.terms, name)
    }
    answered = {8} if found.deposit_cap else set()
    answered |= {18} | ({22} if found.asks_records_consent else set())
    written = {name: words for name, words in firm.terms.other if words}
    terms = replace(
        firm.terms,
        **blank,
        other=tuple({**particulars_in(code), **written}.items()),
        law=found.code,
        asks_records_consent=firm.terms.asks_records_consent or found.asks_records_consent,
        # Nobody has checked the new law yet, and what it says needs no excuse any more.
        law_checked_on=None,
        law_checked_by="",
        not_needed=tuple(one for one in firm.terms.not_needed if one[0] not in answered),
    )
    return save_terms(db, staff, version, terms, now)


def note_check(
    db: Database, staff: StaffMember, version: int, checked_by: str, months: int, now: datetime, today: date
) -> int:
    """Note that the firm had clock, cap and wording checked against local law today; Refused, StaleSave."""
    if not checked_by.strip():
        raise Refused("Say who checked it: counsel, an association, yourself.")
    if not 1 <= months <= 60:
        raise Refused("Say after how many months it is to be checked again: 1 to 60.")
    terms = replace(
        shop(db).terms, law_checked_on=today, law_checked_by=checked_by.strip()[:200], law_months=months
    )
    return save_terms(db, staff, version, terms, now)


def save_own_clock(
    db: Database, staff: StaffMember, version: int, rule: WithdrawalRule, now: datetime
) -> int:
    """Set the firm's own clock of the right to cancel, and let it hold; Refused, StaleSave."""
    if not 1 <= rule.count <= LONGEST_DAYS:
        raise Refused(f"Give the days as a whole number from 1 to {LONGEST_DAYS}.")
    if not rule.name.strip() or not rule.source.strip():
        raise Refused("Give the clock a name, and say which law it comes from.")
    if rule.holidays:
        try:
            calendar_for(rule.holidays, (now.year,), (0,))
        except InputError as fault:
            raise Refused(f"Holidays: {fault.wanted}") from fault
    source = rule.source.strip()
    if not source.endswith("check local law"):
        source = f"{source}; check local law"
    whole = replace(rule, code=OWN, name=rule.name.strip(), source=source)
    version = save_terms(db, staff, version, replace(shop(db).terms, own_clock=whole), now)
    return save_law(db, staff, version, OWN, shop(db).deposit_cap, now)
