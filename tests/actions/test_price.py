from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from app.actions.database import Database, migrate, open_database
from app.actions.errors import NotFound, Refused, StaleSave
from app.actions.price import (
    add_price_item,
    assemblies,
    price_book,
    price_item,
    price_list,
    save_assembly,
    save_calendar,
    save_firm,
    save_rules,
    save_wording,
    set_price,
    shop,
)
from app.actions.records import StaffMember
from app.actions.shop import has_shop, open_shop
from app.actions.shop_files import read_shop_files, shop_as_of
from app.agreement.records import Party
from app.pricing.records import PriceItem
from app.settings import SEED_DATA
from tests.actions.conftest import NOW

TODAY = date(2026, 5, 4)
ITEM = "DECK-TMP-2400"


def test_the_shop_in_the_database_is_the_shop_in_the_files(db: Database) -> None:
    book, firm = shop_as_of(read_shop_files(SEED_DATA / "shop"), TODAY)
    kept = price_book(db, TODAY)
    assert sorted(kept.items, key=lambda item: item.item) == list(book.items)
    assert (kept.assemblies, kept.rules) == (book.assemblies, book.rules)
    assert replace(shop(db), crews=()) == replace(firm, crews=())
    assert set(shop(db).crews) == set(firm.crews)


def test_a_price_holds_from_its_day_and_the_old_one_stays(db: Database, owner: StaffMember) -> None:
    old = price_item(db, ITEM).item.pack_price
    set_price(db, owner, ITEM, Decimal("21.05"), TODAY, NOW)
    set_price(db, owner, ITEM, Decimal("23.30"), TODAY + timedelta(days=10), NOW)

    def on(day: date) -> Decimal:
        return next(item.pack_price for item in price_book(db, day).items if item.item == ITEM)

    assert on(TODAY - timedelta(days=1)) == old
    assert on(TODAY) == Decimal("21.05")
    assert on(TODAY + timedelta(days=10)) == Decimal("23.30")
    history = price_item(db, ITEM).prices
    assert [price.pack_price for price in history] == [Decimal("23.30"), Decimal("21.05"), old]
    assert history[0].set_by == "Maren"


def test_of_two_prices_for_one_day_the_later_entered_holds(db: Database, owner: StaffMember) -> None:
    set_price(db, owner, ITEM, Decimal(1), TODAY, NOW)
    set_price(db, owner, ITEM, Decimal(2), TODAY, NOW)
    assert price_list(db, ITEM, today=TODAY).rows[0].pack_price == Decimal(2)


def test_money_comes_back_to_the_last_digit(db: Database, owner: StaffMember) -> None:
    exact = Decimal("12345678.123456789")
    set_price(db, owner, ITEM, exact, TODAY, NOW)
    assert price_item(db, ITEM).item.pack_price == exact


@pytest.mark.parametrize("price", ["-1", "NaN", "Infinity", "1000000000"])
def test_what_is_no_price_is_refused(db: Database, owner: StaffMember, price: str) -> None:
    with pytest.raises(Refused, match="no price of a pack"):
        set_price(db, owner, ITEM, Decimal(price), TODAY, NOW)


def test_the_price_list_is_searched_by_every_word_and_leafed_by_fifty(db: Database) -> None:
    whole = price_list(db)
    assert whole.found == len(price_book(db, TODAY).items)
    assert whole.pages == -(-whole.found // 50)
    leafed = [row.item for page in range(1, whole.pages + 1) for row in price_list(db, "", page).rows]
    assert leafed == sorted(leafed)
    assert len(leafed) == whole.found
    both = price_list(db, "CEDAR quayside")
    assert 0 < both.found < whole.found
    assert all("cedar" in (row.item + row.name).lower() for row in both.rows)
    assert price_list(db, "no such thing").rows == ()
    assert price_list(db, "", 999).page == whole.pages


def test_an_item_is_added_once(db: Database, owner: StaffMember) -> None:
    new = PriceItem("ROPE-12", "Rope 12 mm", "m", Decimal(50), Decimal("38.50"), "Chandler", 3, TODAY, 0.1)
    add_price_item(db, owner, new, NOW)
    assert price_item(db, "ROPE-12").item == new
    with pytest.raises(Refused, match="already"):
        add_price_item(db, owner, new, NOW)
    with pytest.raises(NotFound):
        price_item(db, "ROPE-99")


def test_an_assembly_gets_a_version_and_keeps_its_place(db: Database, owner: StaffMember) -> None:
    first, second, *_ = assemblies(db)
    assert save_assembly(db, owner, replace(first, name="Renamed"), NOW) == 2
    assert [one.name for one in assemblies(db)[:2]] == ["Renamed", second.name]


def test_rules_are_saved_by_the_owner_from_the_version_seen(
    db: Database, owner: StaffMember, other: StaffMember
) -> None:
    seen = shop(db)
    dearer = replace(seen.rules, wage=Decimal("33.50"))
    with pytest.raises(Refused, match="Only the owner"):
        save_rules(db, other, seen.version, dearer, NOW)
    after = save_rules(db, owner, seen.version, dearer, NOW)
    assert (after, shop(db).rules.wage) == (seen.version + 1, Decimal("33.50"))
    with pytest.raises(StaleSave) as stale:
        save_rules(db, owner, seen.version, seen.rules, NOW)
    assert stale.value.theirs.content["wage"] == Decimal("33.50")
    assert save_rules(db, owner, after, dearer, NOW) == after


@pytest.mark.parametrize(
    "wrong",
    [
        {"overhead_pct": Decimal(95), "profit_pct": Decimal(5)},
        {"wage": Decimal(-1)},
        {"access_factor": Decimal(0)},
        {"deposit_pct": Decimal(60), "holdback_pct": Decimal(50)},
        {"validity_days": 0},
        {"tax_pct": Decimal(100)},
    ],
)
def test_rules_that_cannot_hold_are_refused(
    db: Database, owner: StaffMember, wrong: dict[str, Decimal]
) -> None:
    with pytest.raises(Refused) as refusal:
        save_rules(db, owner, 1, replace(shop(db).rules, **wrong), NOW)  # type: ignore[arg-type]
    assert refusal.value.details


def test_firm_wording_and_calendar_are_saved_each_as_a_version(db: Database, owner: StaffMember) -> None:
    seen = shop(db)
    version = save_firm(db, owner, seen.version, replace(seen.firm, phone="0"), NOW)
    version = save_wording(db, owner, version, seen.wording[1:], NOW)
    calendar = ("GB-SCT", (0, 1, 2, 3), ((date(2026, 12, 24), "closed"),))
    version = save_calendar(db, owner, version, calendar, NOW)
    now = shop(db)
    assert (now.version, now.firm.phone, now.wording) == (seen.version + 3, "0", seen.wording[1:])
    assert (now.region, now.weekdays, now.days_off) == calendar
    with pytest.raises(Refused, match="weekday"):
        save_calendar(db, owner, version, ("US-ME", (), ()), NOW)


def test_an_empty_shop_says_what_to_do_and_is_entered_once(tmp_path: object, owner: StaffMember) -> None:
    url = f"sqlite:///{tmp_path}/empty.sqlite"
    migrate(url)
    db = open_database(url)
    with pytest.raises(Refused, match="shop is empty"):
        price_book(db, TODAY)
    rules = read_shop_files(SEED_DATA / "shop").rules
    open_shop(db, owner, Party("Firm", "Address"), rules, "US-ME", NOW)
    assert has_shop(db)
    assert shop(db).weekdays == (0, 1, 2, 3, 4)
    with pytest.raises(Refused, match="already"):
        open_shop(db, owner, Party("Firm", "Address"), rules, "US-ME", NOW)
    db.close()
