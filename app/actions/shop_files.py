"""A shop's folder (price list, assemblies, rules, crews, firm, wording) as records, and into the database."""

import csv
import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, TypeVar

from app.agreement.records import Party, Wording
from app.agreement.terms import NO_TERMS, OfferTerms, read_terms
from app.agreement.wording import read_firm, read_wording
from app.job.errors import InputError, InputErrors
from app.pricing.book_file import read_assemblies, read_price_rows, read_rules
from app.pricing.records import Assembly, PriceBook, PriceItem, PriceRules
from app.schedule.crew_file import CalendarRules, read_calendar_rules, read_crews
from app.schedule.records import Crew
from app.store import prices, shop
from app.store.records import Shop
from app.store.sessions import Session

# The order in which a proposal prints them; others follow by name.
WORDING_ORDER = ("inclusions", "exclusions", "terms", "cautions", "cancellation", "consent", "care")

Read = TypeVar("Read")


@dataclass(frozen=True, slots=True)
class ShopFiles:
    """All that a shop's folder holds; items may stand several times, with a price from a later day."""

    firm: Party
    rules: PriceRules
    items: tuple[PriceItem, ...]
    assemblies: tuple[Assembly, ...]
    crews: tuple[Crew, ...]
    calendar: CalendarRules
    wording: tuple[Wording, ...]
    terms: OfferTerms = NO_TERMS


def read_shop_files(folder: Path) -> ShopFiles:
    """Read a shop's folder; InputErrors with every fault of every file."""
    faults: list[InputError] = []
    firm = _read(faults, folder / "firm.json", lambda path: read_firm(_json(path)))
    rules = _read(faults, folder / "rules.json", lambda path: read_rules(_json(path)))
    items = _read(faults, folder / "prices.csv", lambda path: read_price_rows(_rows(path)))
    assemblies = _read(faults, folder / "assemblies.json", lambda path: read_assemblies(_json(path)))
    crews = _read(faults, folder / "crews.json", lambda path: read_crews(_json(path)))
    calendar = _read(faults, folder / "crews.json", lambda path: read_calendar_rules(_json(path)))
    wording = [
        _read(faults, path, lambda path: read_wording(path.stem, path.read_text(encoding="utf-8")))
        for path in sorted((folder / "wording").glob("*.md"), key=_place)
    ]
    terms = _read(faults, folder / "terms.json", lambda path: read_terms(_json(path)))
    if faults:
        raise InputErrors(tuple(faults))
    assert terms is not None
    assert firm is not None
    assert rules is not None
    assert items is not None
    assert assemblies is not None
    assert crews is not None
    assert calendar is not None
    whole = tuple(text for text in wording if text is not None)
    return ShopFiles(firm, rules, items, assemblies, crews, calendar, whole, terms)


def shop_as_of(files: ShopFiles, today: date) -> tuple[PriceBook, Shop]:
    """Give the price book of a day and the firm-wide settings, as the database would."""
    held: dict[str, PriceItem] = {}
    for item in sorted(files.items, key=lambda item: item.priced_on):
        if item.item not in held or item.priced_on <= today:
            held[item.item] = item
    items = tuple(held[code] for code in sorted(held))
    firm = Shop(
        version=1,
        firm=files.firm,
        rules=files.rules,
        crews=files.crews,
        region=files.calendar.region,
        weekdays=files.calendar.weekdays,
        days_off=files.calendar.leave,
        wording=files.wording,
        assemblies=files.assemblies,
        terms=files.terms,
    )
    return PriceBook(items, files.assemblies, files.rules, today), firm


def put_shop_files(session: Session, files: ShopFiles, who: str, now: datetime) -> None:
    """Enter a whole shop into an empty database."""
    shop.add_shop(session, files.firm, files.calendar.region, files.calendar.weekdays)
    shop.put_calendar(session, files.calendar.region, files.calendar.weekdays, files.calendar.leave)
    shop.add_rules(session, files.rules, who, now)
    for crew in files.crews:
        shop.put_crew(session, crew)
    shop.put_wording(session, files.wording)
    shop.put_terms(session, files.terms)
    for place, assembly in enumerate(files.assemblies):
        prices.add_assembly(session, assembly, place, who, now)
    known: set[str] = set()
    for item in sorted(files.items, key=lambda item: item.priced_on):
        if item.item in known:
            prices.add_price(session, item.item, item.pack_price, item.priced_on, who, now)
        else:
            prices.add_item(session, item, who, now)
        known.add(item.item)


def _read(faults: list[InputError], path: Path, reader: Callable[[Path], Read]) -> Read | None:
    """Read one file, or note what is wrong with it under its name."""
    try:
        return reader(path)
    except InputErrors as found:
        faults += [InputError(f"{path.name}: {one.path}", one.value, one.wanted) for one in found.errors]
    except InputError as one:
        faults.append(InputError(f"{path.name}: {one.path}", one.value, one.wanted))
    except (OSError, UnicodeDecodeError, json.JSONDecodeError, csv.Error) as fault:
        faults.append(InputError(path.name, str(path), f"The file cannot be read: {fault}."))
    return None


def _json(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _place(path: Path) -> tuple[int, str]:
    code = path.stem.partition(".")[0]
    known = code in WORDING_ORDER
    return (WORDING_ORDER.index(code) if known else len(WORDING_ORDER), path.stem)
