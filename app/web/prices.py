"""The price list: searched, and a new price set from a day on."""

from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter, Response

from app.actions.assemblies import UsedIn, item_used_in
from app.actions.price import assemblies, price_item, price_list, set_price, shop
from app.actions.records import PricePage
from app.actions.records import PriceSheet as ItemPrices
from app.pricing.records import Assembly
from app.web.findings import Fault
from app.web.forms.drawn import Field, field_id
from app.web.forms.plain import Entry, as_day, as_decimal, draw, missing, typed
from app.web.page import go, render
from app.web.sheets import Frame, desk_frame
from app.web.visit import AtDesk, Desk, Posted

router = APIRouter()
_PRICE = (
    Entry("pack_price", "Price of one pack, before tax", "number"),
    Entry("from_on", "From", "date", "Offers already made keep the price they were made with."),
)


@dataclass(frozen=True, slots=True)
class PricesSheet:
    """One page of the price list.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    page : PricePage
        Its rows, and how many there are in all.
    currency : str
        Of the prices.
    today, stale_before : date
        A price older than the second is called stale.
    """

    frame: Frame
    page: PricePage
    currency: str
    today: date
    stale_before: date


@dataclass(frozen=True, slots=True)
class PriceItemSheet:
    """One thing that can be bought.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    prices : PriceSheet
        The item and all its prices.
    currency : str
        Of the prices.
    fields : tuple of Field
        The form for a new price.
    assemblies : tuple of Assembly
        Those that name it.
    used : tuple of UsedIn or None
        Jobs at work that buy it; None until somebody asks, since each job is worked out for it.
    faults : tuple of Fault
        What must be mended.
    """

    frame: Frame
    prices: ItemPrices
    currency: str
    fields: tuple[Field, ...]
    assemblies: tuple[Assembly, ...]
    used: tuple[UsedIn, ...] | None
    faults: tuple[Fault, ...]


@router.get("/shop/prices")
def show_prices(desk: AtDesk, search: str = "", page: int = 1) -> Response:
    """The price list."""
    found = price_list(desk.db, search[:100], max(1, min(page, 10_000)), desk.today)
    rules = shop(desk.db).rules
    sheet = PricesSheet(
        frame=desk_frame(desk, "Price list", at="/shop"),
        page=found,
        currency=rules.currency,
        today=desk.today,
        stale_before=desk.today - timedelta(days=rules.stale_after_days),
    )
    response = render(desk.request, "pages/prices.html", sheet)
    response.headers["hx-push-url"] = "false"  # a page for every letter would fill the history
    return response


@router.get("/shop/prices/{item}")
def show_price_item(desk: AtDesk, item: str, jobs: str = "") -> Response:
    """One item with all its prices; with `jobs` also the jobs at work that buy it."""
    return _page(desk, item, {"from_on": desk.today.isoformat()}, {}, with_jobs=bool(jobs))


@router.post("/shop/prices/{item}")
def save_price(desk: AtDesk, form: Posted, item: str) -> Response:
    """Set a price from a day on."""
    values = typed(_PRICE, form)
    faults = missing(_PRICE, values)
    amount, from_on = as_decimal(values["pack_price"]), as_day(values["from_on"])
    if values["pack_price"] and (amount is None or amount < 0):
        faults["pack_price"] = "Price of one pack: give an amount, such as 12.50"
    if values["from_on"] and from_on is None:
        faults["from_on"] = "Give the day as year-month-day, such as 2026-05-04"
    if faults or amount is None or from_on is None:
        return _page(desk, item, values, faults)
    set_price(desk.db, desk.staff, item, amount, from_on, desk.now)
    return go(f"/shop/prices/{item}?said=saved")


def _page(
    desk: Desk, item: str, values: dict[str, str], faults: dict[str, str], *, with_jobs: bool = False
) -> Response:
    found = price_item(desk.db, item)
    sheet = PriceItemSheet(
        frame=desk_frame(desk, found.item.name, at="/shop", is_wrong=bool(faults)),
        prices=found,
        currency=shop(desk.db).rules.currency,
        fields=draw(_PRICE, values, faults),
        assemblies=tuple(one for one in assemblies(desk.db) if item in [part.item for part in one.parts]),
        used=item_used_in(desk.db, item, desk.today) if with_jobs else None,
        faults=tuple(Fault(words, field_id(name)) for name, words in faults.items()),
    )
    return render(desk.request, "pages/price_item.html", sheet, 422 if faults else 200)
