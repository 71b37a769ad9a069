"""What is kept of the shop: read once, and anew as soon as anybody changes anything, here or elsewhere."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import event

from app.actions.as_it_stands import as_it_stands, shop_now
from app.actions.database import Database, migrate, open_database
from app.actions.price import set_price
from app.actions.records import StaffMember
from app.actions.shop import name_of_firm, save_firm, save_rules, shop
from app.actions.takeoff import shop_of, work_out
from app.store import audit, prices
from app.store import shop as shop_store
from app.store.kept import MOST_KEPT, Kept
from tests import trail_watch

NOW = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
TODAY = date(2026, 5, 4)


@pytest.fixture
def asked(db: Database) -> Iterator[list[str]]:
    """What the database was asked, from here on."""
    said: list[str] = []

    def hear(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        said.append(statement)

    event.listen(db.engine, "before_cursor_execute", hear)
    yield said
    event.remove(db.engine, "before_cursor_execute", hear)


def test_the_shop_is_read_once_as_long_as_nobody_changes_anything(
    db: Database, job_id: int, asked: list[str]
) -> None:
    first = work_out(db, job_id, TODAY)
    asked.clear()
    assert work_out(db, job_id, TODAY).answer is first.answer
    assert not [one for one in asked if "price_items" in one or "FROM rules" in one]
    asked.clear()
    shop_of(db, TODAY + timedelta(days=1))
    assert [one for one in asked if "price_items" in one], "another day has prices of its own"


def test_a_new_price_changes_the_estimate_at_once(db: Database, owner: StaffMember, job_id: int) -> None:
    before = work_out(db, job_id, TODAY).answer.estimate
    line = next(line for line in before.lines if line.kind == "material" and line.cost)
    set_price(db, owner, line.item, Decimal(999), TODAY, NOW)
    after = work_out(db, job_id, TODAY).answer.estimate
    assert after.total > before.total
    assert prices_of(shop_of(db, TODAY)[0])[line.item] == Decimal(999)


def test_new_rules_change_the_estimate_at_once(db: Database, owner: StaffMember, job_id: int) -> None:
    before, firm = work_out(db, job_id, TODAY).answer.estimate, shop(db)
    save_rules(db, owner, firm.version, replace(firm.rules, profit_pct=firm.rules.profit_pct + 10), NOW)
    assert work_out(db, job_id, TODAY).answer.estimate.total > before.total


def test_what_another_server_changes_is_seen_at_the_next_look(db: Database, owner: StaffMember) -> None:
    assert name_of_firm(db)
    other = open_database(db.engine.url.render_as_string(hide_password=False))
    firm = shop(other)
    save_firm(other, owner, firm.version, replace(firm.firm, name="Another Name"), NOW)
    other.close()
    assert name_of_firm(db) == "Another Name"


def test_a_change_that_was_taken_back_leaves_nothing_behind(db: Database, owner: StaffMember) -> None:
    before = shop(db)

    def fail_after_a_change() -> None:
        with db.write() as session:
            shop_store.put_firm(session, replace(before.firm, name="Never kept"))
            audit.note(session, NOW, owner.name, "renamed the firm", "shop")
            assert name_of_firm(db) == before.firm.name, "others see what was committed"
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail_after_a_change()
    assert shop(db) == before


def test_an_empty_shop_is_looked_for_again(tmp_path_factory: pytest.TempPathFactory) -> None:
    url = f"sqlite:///{tmp_path_factory.mktemp('empty') / 'upstand.sqlite'}"
    migrate(url)
    empty = open_database(url)
    assert shop_now(empty) is None
    assert name_of_firm(empty) == ""
    empty.close()


def test_no_more_than_some_are_kept_and_none_of_an_older_stamp() -> None:
    kept = Kept()
    for number in range(MOST_KEPT + 1):
        kept.keep("a", number, str(number))
    assert kept.find("a", 0) is None
    assert kept.find("a", MOST_KEPT) == str(MOST_KEPT)
    assert kept.find("b", MOST_KEPT) is None
    kept.keep("b", 1, "one")
    assert kept.find("a", MOST_KEPT) is None
    kept.clear()
    assert kept.find("b", 1) is None


def test_nothing_outlives_the_database_it_was_read_from(db: Database) -> None:
    assert as_it_stands(db, "a word", lambda _: "first") == "first"
    assert as_it_stands(db, "a word", lambda _: "second") == "first"
    db.close()
    assert as_it_stands(db, "a word", lambda _: "second") == "second"


def test_the_watch_of_the_tests_hears_a_change_past_the_trail(db: Database) -> None:
    with trail_watch.watching(db) as unnoted:
        pass
    assert unnoted == []
    url = db.engine.url.render_as_string(hide_password=False)
    second = open_database(url)
    with trail_watch.watching(second) as unnoted, second.write() as session:
        item = prices.list_items(session, None)[0].item
        prices.add_price(session, item, Decimal(1), TODAY, "nobody", NOW)
    second.close()
    assert len(unnoted) == 1


def prices_of(book: object) -> dict[str, Decimal]:
    return {item.item: item.pack_price for item in book.items}  # type: ignore[attr-defined]
