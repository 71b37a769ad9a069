"""Firm-wide settings: the firm as printed, its rules, crews, days off and wording."""

from datetime import date, datetime
from functools import lru_cache

from pydantic import TypeAdapter
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from app.agreement.records import Party, Wording
from app.agreement.terms import OfferTerms
from app.pricing.records import PriceRules
from app.schedule.records import Crew
from app.store import prices
from app.store.models import CrewRow, DayOffRow, RulesRow, ShopRow, WordingRow
from app.store.records import Shop

_RULES = TypeAdapter(PriceRules)
_TERMS = TypeAdapter(OfferTerms)


def has_shop(session: Session) -> bool:
    """Tell whether the firm's details were ever entered."""
    return session.get(ShopRow, 1) is not None


def name_of_firm(session: Session) -> str:
    """Give the firm's name; empty until it is entered."""
    return session.scalar(select(ShopRow.name).where(ShopRow.id == 1)) or ""


def deposit_cap(session: Session) -> str:
    """Give the code of the cap on deposits; empty when none is set."""
    return session.scalar(select(ShopRow.deposit_cap).where(ShopRow.id == 1)) or ""


def version(session: Session, *, for_change: bool = False) -> int:
    """Give the version of the firm-wide settings; locked when they are to be changed."""
    return session.get_one(ShopRow, 1, with_for_update=for_change).version


def read_shop(session: Session) -> Shop:
    """Give all firm-wide settings."""
    row = session.get_one(ShopRow, 1)
    return Shop(
        version=row.version,
        firm=Party(row.name, row.address, row.phone, row.email, row.registration),
        rules=read_rules(session),
        crews=list_crews(session),
        region=row.region,
        weekdays=tuple(int(day) for day in row.weekdays.split(",") if day),
        days_off=tuple(
            (off.day, off.name) for off in session.scalars(select(DayOffRow).order_by(DayOffRow.day))
        ),
        wording=tuple(
            Wording(text.code, text.title, text.text, text.source)
            for text in session.scalars(select(WordingRow).order_by(WordingRow.position))
        ),
        assemblies=prices.list_assemblies(session),
        withdrawal=row.withdrawal,
        deposit_cap=row.deposit_cap,
        terms=_terms_of(row.terms),
    )


def add_shop(session: Session, firm: Party, region: str, weekdays: tuple[int, ...]) -> None:
    """Enter the firm for the first time."""
    session.add(
        ShopRow(
            id=1,
            version=1,
            name=firm.name,
            address=firm.address,
            phone=firm.phone,
            email=firm.email,
            registration=firm.registration,
            region=region,
            weekdays=",".join(str(day) for day in weekdays),
            withdrawal="",
            deposit_cap="",
        )
    )
    session.flush()


def put_firm(session: Session, firm: Party) -> None:
    """Put the firm's new details in place."""
    row = session.get_one(ShopRow, 1)
    row.name, row.address, row.phone = firm.name, firm.address, firm.phone
    row.email, row.registration = firm.email, firm.registration


def put_law(session: Session, withdrawal: str, deposit_cap: str) -> None:
    """Put the presets of local law in place, by their codes."""
    row = session.get_one(ShopRow, 1)
    row.withdrawal, row.deposit_cap = withdrawal, deposit_cap


def put_terms(session: Session, terms: OfferTerms) -> None:
    """Put what the firm says on every offer in place."""
    session.get_one(ShopRow, 1).terms = _TERMS.dump_json(terms).decode()


def put_calendar(
    session: Session, region: str, weekdays: tuple[int, ...], days_off: tuple[tuple[date, str], ...]
) -> None:
    """Put the region, the worked weekdays and the firm's own days off in place."""
    row = session.get_one(ShopRow, 1)
    row.region, row.weekdays = region, ",".join(str(day) for day in weekdays)
    session.execute(delete(DayOffRow))
    session.add_all(DayOffRow(day=day, name=name) for day, name in days_off)


def next_version(session: Session) -> int:
    """Count one change of the firm-wide settings and give the new version."""
    row = session.get_one(ShopRow, 1)
    row.version += 1
    return row.version


def read_rules(session: Session) -> PriceRules:
    """Give the rules that hold: the last that were saved."""
    text = session.scalars(select(RulesRow.document).order_by(RulesRow.id.desc()).limit(1)).one()
    return _rules_of(text)


def add_rules(session: Session, rules: PriceRules, who: str, now: datetime) -> None:
    """Save rules; the earlier ones stay on record."""
    session.add(RulesRow(document=_RULES.dump_json(rules).decode(), set_at=now, set_by=who))


def list_crews(session: Session) -> tuple[Crew, ...]:
    """Give all crews by code."""
    rows = session.scalars(select(CrewRow).order_by(CrewRow.code))
    return tuple(Crew(row.code, row.name, row.people, row.day_h) for row in rows)


def put_crew(session: Session, crew: Crew) -> None:
    """Add a crew or change it, by its code."""
    session.merge(CrewRow(code=crew.code, name=crew.name, people=crew.people, day_h=crew.day_h))


def put_wording(session: Session, wording: tuple[Wording, ...]) -> None:
    """Put all texts of the documents in place of the old ones."""
    session.execute(delete(WordingRow))
    session.add_all(
        WordingRow(code=text.code, position=place, title=text.title, text=text.text, source=text.source)
        for place, text in enumerate(wording)
    )


# Texts are read on every page and change a few times a year: what one says is read once.
@lru_cache(maxsize=32)
def _terms_of(text: str) -> OfferTerms:
    return _TERMS.validate_json(text)


@lru_cache(maxsize=32)
def _rules_of(text: str) -> PriceRules:
    return _RULES.validate_json(text)
