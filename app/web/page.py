"""Templates: one environment, and the way every page is rendered."""

from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from http import HTTPStatus
from typing import Any, Literal

from babel.dates import format_date
from babel.numbers import format_currency, format_decimal
from fastapi import Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from app.job.spoken import Spoken
from app.measure.show import clock, format_area, format_length, format_load, format_mass, format_quantity
from app.settings import TEMPLATES
from app.web.forms.drawn import is_blank
from app.web.security import keep_visit
from app.web.visit import TOKEN_FIELD, form_token

_LOCALE = "en"
# A page says the same figures and days over and over, and the next page says them again. Kept by type, so
# that a float never stands for a sum of money; two equal values of one type are written alike.
_kept = lru_cache(maxsize=4096, typed=True)


@_kept
def money(amount: Decimal, currency: str) -> str:
    """An amount as printed, to the cent."""
    return format_currency(amount or abs(amount), currency, locale=_LOCALE).replace("-", "−")


@_kept
def num(value: float | Decimal, digits: int = 1) -> str:
    """A number with thousands parted, at most so many decimals, none of them a useless zero."""
    shape = "#,##0." + "#" * digits
    rounded: float | Decimal = (
        value.quantize(Decimal(1).scaleb(-digits)) if isinstance(value, Decimal) else round(value, digits)
    )
    if not rounded:
        rounded = 0.0  # nothing is no less than nothing
    return format_decimal(rounded, format=shape, locale=_LOCALE).replace("-", "−")


@_kept
def cents(value: Decimal) -> str:
    """A sum in a table whose head names the currency: always two decimals."""
    return format_decimal(value or abs(value), format="#,##0.00", locale=_LOCALE).replace("-", "−")


def amount(value: float, unit: str, system: str) -> str:
    """A quantity of the takeoff with its unit, in the reader's own system."""
    if unit == "each":
        return num(value, 2)
    if unit == "m" and system == "metric":
        return f"{num(value, 2)} m"
    if unit == "m":
        return format_length(value * 1000, system)
    kinds: dict[str, Literal["area", "volume", "mass"]] = {"m2": "area", "m3": "volume", "kg": "mass"}
    return format_quantity(value, kinds[unit], system)


def day(value: date | datetime | None) -> str:
    """A day as said: Wed 25 Nov 2026."""
    if value is None:
        return "–"
    return _day(value.astimezone().date() if isinstance(value, datetime) else value)


@_kept
def _day(on: date) -> str:
    return format_date(on, "EEE d MMM y", locale=_LOCALE)


@_kept
def short_day(value: date) -> str:
    """A day in a narrow column: Wed 25."""
    return format_date(value, "EEE d", locale=_LOCALE)


@_kept
def month(value: date) -> str:
    """A month over its days: Nov 2026."""
    return format_date(value, "MMM y", locale=_LOCALE)


def moment(value: datetime | None) -> str:
    """An instant, in UTC, to the minute."""
    return "–" if value is None else f"{value:%Y-%m-%d %H:%M} UTC"


def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(
        amount=amount, money=money, num=num, day=day, short_day=short_day, moment=moment
    )
    environment.filters.update(
        stress=lambda value, system: Spoken(system).stress(value),
        sag=lambda value, system: Spoken(system).sag(value),
        force=lambda value, system: Spoken(system).force(value),
        measured=lambda value, unit, system: Spoken(system).measured(value, unit),
    )
    environment.filters.update(as_length=format_length, area=format_area, load=format_load, mass=format_mass)
    environment.filters["shim"] = lambda shim_mm, system: Spoken(system).shim(shim_mm)
    environment.filters.update(clock=clock, cents=cents)
    environment.tests["blank"] = is_blank
    environment.globals["token_field"] = TOKEN_FIELD
    return environment


_PAGES = _environment()


def render(request: Request, template: str, sheet: Any, status: int = HTTPStatus.OK) -> Response:
    """A page: its template filled from its sheet."""
    html = _PAGES.get_template(template).render(sheet=sheet, form_token=form_token(request))
    response = HTMLResponse(html, status_code=status)
    keep_visit(request, response)
    if request.method == "GET" and "hx-request" in request.headers:
        response.headers["hx-push-url"] = request.url.path  # where a save led to
    return response


def go(path: str) -> Response:
    """Send the browser on to another page after a save."""
    return RedirectResponse(path, status_code=HTTPStatus.SEE_OTHER)
