"""Firm-wide settings: the firm as printed, its rules, calendar and wording."""

from collections.abc import Callable
from dataclasses import asdict
from datetime import date, datetime
from typing import Any

from app.actions.as_it_stands import shop_now
from app.actions.database import Database
from app.actions.errors import Refused, Saved, StaleSave
from app.actions.never_kept import refuse_numbers
from app.actions.records import Shop, StaffMember
from app.agreement.records import Party, Wording
from app.agreement.stages import DEPOSIT_CAPS
from app.agreement.terms import TEXTS, OfferTerms
from app.agreement.withdrawal import OWN, PRESETS
from app.pricing.records import PriceRules
from app.store import audit
from app.store import shop as shop_store

_SUBJECT = "shop"


def shop(db: Database) -> Shop:
    """Firm-wide settings; Refused while nothing is entered."""
    found = shop_now(db)
    if found is None:
        raise Refused("The shop is empty: enter the firm and its rules first.")
    return found


def has_shop(db: Database) -> bool:
    """Tell whether firm-wide settings were ever entered."""
    return shop_now(db) is not None


def name_of_firm(db: Database) -> str:
    """The firm's name alone, which stands on every page; empty until it is entered."""
    found = shop_now(db)
    return found.firm.name if found else ""


def deposit_cap(db: Database) -> str:
    """The code of the cap on deposits alone; empty when none is set."""
    found = shop_now(db)
    return found.deposit_cap if found else ""


def open_shop(
    db: Database, staff: StaffMember, firm: Party, rules: PriceRules, region: str, now: datetime
) -> None:
    """Enter the firm for the first time, with a working week from Monday to Friday."""
    _check_rules(rules)
    with db.write() as session:
        if shop_store.has_shop(session):
            raise Refused("The shop is entered already.")
        shop_store.add_shop(session, firm, region, (0, 1, 2, 3, 4))
        shop_store.add_rules(session, rules, staff.name, now)
        audit.note(session, now, staff.name, f"entered {firm.name}", _SUBJECT, (None, 1))


def save_rules(db: Database, staff: StaffMember, version: int, rules: PriceRules, now: datetime) -> int:
    """Save how cost becomes price and give the shop's new version; StaleSave, Refused."""
    _check_rules(rules)
    return _save(
        db,
        staff,
        version,
        lambda shop: (asdict(shop.rules), asdict(rules)),
        lambda session: shop_store.add_rules(session, rules, staff.name, now),
        now,
    )


def save_firm(db: Database, staff: StaffMember, version: int, firm: Party, now: datetime) -> int:
    """Save the firm's details as printed and give the shop's new version; StaleSave, Refused."""
    if not firm.name.strip():
        raise Refused("The firm needs a name; it stands on every document.")
    refuse_numbers(firm.name, firm.address, firm.phone, firm.email, firm.registration)
    return _save(
        db,
        staff,
        version,
        lambda shop: (asdict(shop.firm), asdict(firm)),
        lambda session: shop_store.put_firm(session, firm),
        now,
    )


def save_wording(
    db: Database, staff: StaffMember, version: int, wording: tuple[Wording, ...], now: datetime
) -> int:
    """Save the wording of documents and give the shop's new version; StaleSave, Refused."""
    codes = [text.code for text in wording]
    if len(set(codes)) != len(codes):
        raise Refused("Two texts have the same code; each code stands once.")
    refuse_numbers(*(text.text for text in wording), *(text.title for text in wording))
    return _save(
        db,
        staff,
        version,
        lambda shop: ({t.code: asdict(t) for t in shop.wording}, {t.code: asdict(t) for t in wording}),
        lambda session: shop_store.put_wording(session, wording),
        now,
    )


def save_calendar(
    db: Database,
    staff: StaffMember,
    version: int,
    calendar: tuple[str, tuple[int, ...], tuple[tuple[date, str], ...]],
    now: datetime,
) -> int:
    """Save region, worked weekdays (Monday is 0) and the firm's own days off; StaleSave, Refused."""
    region, weekdays, days_off = calendar
    if not weekdays or not set(weekdays) <= set(range(7)):
        raise Refused("At least one weekday must be worked.")
    return _save(
        db,
        staff,
        version,
        lambda shop: (
            {"region": shop.region, "weekdays": shop.weekdays, "days off": shop.days_off},
            {"region": region, "weekdays": weekdays, "days off": days_off},
        ),
        lambda session: shop_store.put_calendar(session, region, weekdays, days_off),
        now,
    )


def save_law(
    db: Database, staff: StaffMember, version: int, withdrawal: str, deposit_cap: str, now: datetime
) -> int:
    """Choose the presets of local law by their codes (empty: none); StaleSave, Refused."""
    known = {"withdrawal": [*(r.code for r in PRESETS), OWN], "deposit cap": [c.code for c in DEPOSIT_CAPS]}
    new = {"withdrawal": withdrawal, "deposit cap": deposit_cap}
    for name, code in new.items():
        if code and code not in known[name]:
            raise Refused(f"There is no {name} preset {code}; there are {', '.join(known[name])}.")
    return _save(
        db,
        staff,
        version,
        lambda shop: ({"withdrawal": shop.withdrawal, "deposit cap": shop.deposit_cap}, dict(new)),
        lambda session: shop_store.put_law(session, withdrawal, deposit_cap),
        now,
    )


def save_terms(db: Database, staff: StaffMember, version: int, terms: OfferTerms, now: datetime) -> int:
    """Save what the firm says on every offer and give the shop's new version; StaleSave, Refused."""
    refuse_numbers(
        *(getattr(terms, name) for name in TEXTS),
        *(words for _, words in terms.other),
        *(reason for _, reason in terms.not_needed),
        terms.law_checked_by,
    )
    return _save(
        db,
        staff,
        version,
        lambda shop: (asdict(shop.terms), asdict(terms)),
        lambda session: shop_store.put_terms(session, terms),
        now,
    )


def _save(
    db: Database,
    staff: StaffMember,
    version: int,
    sides: Callable[[Shop], tuple[dict[str, Any], dict[str, Any]]],
    put: Callable[[Any], None],
    now: datetime,
) -> int:
    """Save one part of the firm-wide settings: check the version, put, count, note."""
    if staff.role != "owner":
        raise Refused("Only the owner changes firm-wide settings.")
    with db.write() as session:
        if not shop_store.has_shop(session):
            raise Refused("The shop is empty: enter the firm and its rules first.")
        kept = shop_store.version(session, for_change=True)
        old, new = sides(shop_store.read_shop(session))
        if kept != version:
            by = audit.who_saved(session, _SUBJECT, kept)
            raise StaleSave(Saved(kept, by, old), Saved(version, staff.name, new))
        changed = [str(key) for key in {**old, **new} if old.get(key) != new.get(key)]
        if not changed:
            return version
        put(session)
        after = shop_store.next_version(session)
        what = f"changed {', '.join(changed)}"
        audit.note(session, now, staff.name, what, _SUBJECT, (version, after))
    return after


def _check_rules(rules: PriceRules) -> None:
    shares = {
        name: getattr(rules, name)
        for name in (
            "overhead_pct",
            "profit_pct",
            "contingency_pct",
            "tax_pct",
            "deposit_pct",
            "holdback_pct",
        )
    }
    wrong = [f"{name} is {value}" for name, value in shares.items() if not 0 <= value < 100]
    wrong += [
        f"{name} is {getattr(rules, name)}" for name in ("wage", "burden_pct") if getattr(rules, name) < 0
    ]
    if rules.access_factor <= 0:
        wrong.append(f"access_factor is {rules.access_factor}")
    if rules.overhead_pct + rules.profit_pct >= 100:
        wrong.append("overhead and profit together leave nothing of the price for cost")
    if rules.tax_shown == "inside" and rules.tax_on != "contract":
        wrong.append("prices are shown with tax in them, but no tax on the contract is set")
    if rules.deposit_pct + rules.holdback_pct > 100:
        wrong.append("deposit and holdback together are more than the whole")
    if rules.validity_days < 1 or rules.stale_after_days < 1:
        wrong.append("an offer holds, and a price stays fresh, for at least one day")
    if wrong:
        raise Refused("These rules cannot hold; shares lie from 0 to below 100 %.", tuple(wrong))
