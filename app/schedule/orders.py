"""What to order, and by when: back from the day it is needed, over lead time and buffer."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from math import ceil

from app.job.findings import Finding
from app.pricing.records import EstimateLine, PriceItem
from app.schedule.calendars import add_working_days, subtract_working_days
from app.schedule.records import Calendar, OrderLine

# Buffer on lead time: a fifth of it, at least two working days. Common practice, no source.
BUFFER_SHARE_PCT = 20
LEAST_BUFFER_DAYS = 2


def buffer_for(lead_days: int) -> int:
    """Give the working days kept in hand on a lead time.

    Parameters
    ----------
    lead_days : int
        Working days from order to delivery. [days]

    Returns
    -------
    buffer : int
        A fifth of it rounded up, at least two. [days]

    Examples
    --------
    >>> buffer_for(3), buffer_for(15)
    (2, 3)

    References
    ----------
    Common practice, no source.
    """
    return max(LEAST_BUFFER_DAYS, ceil(lead_days * BUFFER_SHARE_PCT / 100))


def order_lines(
    lines: Sequence[EstimateLine],
    items: Mapping[str, PriceItem],
    needed_on: Mapping[str, date],
    calendar: Calendar,
    today: date,
) -> tuple[OrderLine, ...]:
    """Give the order list of a job.

    Parameters
    ----------
    lines : sequence of EstimateLine
        Of the estimate; those of material count, and of them those with packs.
    items : mapping of str to PriceItem
        The price list by code.
    needed_on : mapping of str to date
        First working day each item is needed on the roof.
    calendar : Calendar
        Days worked; suppliers are taken to work the same ones.
    today : date
        Decides what is late.

    Returns
    -------
    orders : tuple of OrderLine
        One for each item, what must be ordered first standing first.

    References
    ----------
    Order by = needed on − lead time − buffer: common practice, no source.
    """
    packs: dict[str, Decimal] = {}
    cost: dict[str, Decimal] = {}
    for line in lines:
        if line.kind == "material" and line.packs:
            packs[line.item] = packs.get(line.item, Decimal(0)) + line.packs
            cost[line.item] = cost.get(line.item, Decimal(0)) + line.cost
    orders = []
    # A job needs dozens of things on a handful of days, after a handful of lead times.
    counted: dict[tuple[date, int], date] = {}
    for code, count in packs.items():
        item = items[code]
        back = needed_on[code], item.lead_days + buffer_for(item.lead_days)
        if back not in counted:
            counted[back] = subtract_working_days(calendar, *back)
        order_by_on = counted[back]
        orders.append(
            OrderLine(
                item=code,
                name=item.name,
                supplier=item.supplier,
                packs=int(count),
                unit=item.unit,
                cost=f"{cost[code]:.2f}",
                needed_on=needed_on[code],
                order_by_on=order_by_on,
                lead_days=item.lead_days,
                is_late=order_by_on < today,
            )
        )
    return tuple(sorted(orders, key=lambda order: (order.order_by_on, order.supplier, order.item)))


def late_findings(orders: Sequence[OrderLine], calendar: Calendar, today: date) -> tuple[Finding, ...]:
    """Say which orders are late, supplier by supplier.

    Parameters
    ----------
    orders : sequence of OrderLine
        The order list.
    calendar : Calendar
        Days worked.
    today : date
        The day an order could still go out.

    Returns
    -------
    findings : tuple of Finding
        A check for each supplier with late orders; the value is the calendar days they are late.

    References
    ----------
    Common practice, no source.
    """
    findings = []
    for supplier in dict.fromkeys(order.supplier for order in orders if order.is_late):
        late = [order for order in orders if order.is_late and order.supplier == supplier]
        first = min(order.order_by_on for order in late)
        parts = [
            f"{order.item} (needed {order.needed_on}, {_arrival(order, calendar, today)})" for order in late
        ]
        findings.append(
            Finding(
                code="schedule.order-late",
                grade="check",
                place="job",
                text=(
                    f"Orders from {supplier} should have gone out by {first}: {'; '.join(parts)}. Order now, "
                    "ask for a sure date, or start later."
                ),
                value=float((today - first).days),
                limit=0.0,
                unit="days",
                source="lead times of the price list; the buffer is common practice, no source",
            )
        )
    return tuple(findings)


def _arrival(order: OrderLine, calendar: Calendar, today: date) -> str:
    """Say when an order that goes out today is there."""
    return f"ordered today it comes {add_working_days(calendar, today, order.lead_days)}"
