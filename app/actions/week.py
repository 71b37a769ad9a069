"""The staff's first page: what every crew does this week, what must be ordered, who waits."""

from datetime import date, timedelta

from app.actions.database import Database
from app.actions.orders import order_row
from app.actions.plans import dated_all, held_plan, worked_out
from app.actions.purchases import goods_sheet_of
from app.actions.records import (
    JobCard,
    JobState,
    MissingGoods,
    OrderDue,
    Shop,
    UnsignedChange,
    Waiting,
    WeekCell,
    WeekJob,
    WeekView,
    WorkedOut,
)
from app.actions.takeoff import calendar_of
from app.schedule.calendars import add_working_days
from app.schedule.records import Calendar
from app.store import change_orders, jobs, site
from app.store import shop as shop_store

_BOOKED: tuple[JobState, ...] = ("signed", "on the roof")
_WAITING: dict[JobState, str] = {
    "enquiry": "asked; the roof is to be measured",
    "surveyed": "measured; the price is to be worked out",
    "priced": "priced; the offer is to be sent",
    "offered": "offered; the client's answer is awaited",
}


def week_of(db: Database, today: date) -> WeekView:
    """Give the week a day lies in."""
    monday = today - timedelta(days=today.weekday())
    days = tuple(monday + timedelta(days=number) for number in range(7))
    with db.read() as session:
        cards = jobs.list_jobs(session, states=(*_BOOKED, *_WAITING))
        is_open = shop_store.has_shop(session)
    waiting = tuple(_waiting(card) for card in cards if card.state in _WAITING)
    if not is_open:
        return WeekView(monday, days, (), (), (), waiting)
    held = held_plan(db)
    alone, unreadable, firm = worked_out(db, (card for card in cards if card.state in _BOOKED), today)
    worked = dated_all(db, alone, held, firm)
    return WeekView(
        monday=monday,
        days=days,
        crews=firm.crews,
        cells=_cells(worked, firm, days, calendar_of(firm, monday, today)),
        orders=_due(db, worked, days[-1]),
        waiting=waiting,
        unreadable=tuple(unreadable),
        missing=_missing(db, worked),
        unsigned=_unsigned(db, worked),
    )


def _cells(
    worked: list[WorkedOut], firm: Shop, days: tuple[date, ...], calendar: Calendar
) -> tuple[WeekCell, ...]:
    off = dict(calendar.days_off)
    return tuple(
        WeekCell(
            on=day,
            crew_code=crew.code,
            day_off=off.get(day, "" if day.weekday() in calendar.weekdays else "not worked"),
            jobs=tuple(
                found for job in worked if job.crew.code == crew.code and (found := _on_day(job, day))
            ),
        )
        for crew in firm.crews
        for day in days
    )


def _on_day(worked: WorkedOut, day: date) -> WeekJob | None:
    plan = worked.answer.days
    names = {planned.task.code: planned.task.name for planned in plan.tasks}
    for entry in plan.days:
        if entry.on == day:
            work = [code for code in entry.tasks if code not in entry.hold_points]
            return WeekJob(
                worked.sheet.id,
                worked.sheet.number,
                worked.sheet.title,
                tuple(names.get(code, code) for code in work),
                tuple(names.get(code, code) for code in entry.hold_points),
                tuple(code in plan.critical_path for code in work),
            )
    return None


def _due(db: Database, worked: list[WorkedOut], until: date) -> tuple[OrderDue, ...]:
    with db.read() as session:
        ordered = site.items_ordered(session, [job.sheet.id for job in worked])
    due = [
        OrderDue(job.sheet.id, job.sheet.number, job.sheet.title, order_row(line, None))
        for job in worked
        for line in job.answer.days.orders
        if line.order_by_on <= until and line.item not in ordered[job.sheet.id]
    ]
    return tuple(sorted(due, key=lambda one: (one.row.order_by_on, one.number, one.row.item)))


def _missing(db: Database, worked: list[WorkedOut]) -> tuple[MissingGoods, ...]:
    """What should be there by the next working day; jobs that need nothing by then are not looked at."""
    found = []
    for job in worked:
        next_on = add_working_days(job.calendar, job.today, 1)
        if not any(line.needed_on <= next_on for line in job.answer.days.orders):
            continue
        sheet = goods_sheet_of(db, job)
        found += [
            MissingGoods(
                job.sheet.id,
                job.sheet.number,
                sheet.next_on,
                one.missing,
                one.line.name,
                one.line.supplier,
                is_ordered=one.to_order == 0,
            )
            for one in sheet.missing
        ]
    return tuple(found)


def _unsigned(db: Database, worked: list[WorkedOut]) -> tuple[UnsignedChange, ...]:
    """Changes spoken of or sent that nobody signed, oldest first."""
    numbers = {job.sheet.id: job.sheet.number for job in worked}
    with db.read() as session:
        orders = change_orders.unsettled(session, tuple(numbers))
    return tuple(
        UnsignedChange(
            one.job_id, numbers[one.job_id], one.number, one.title, one.state == "offered", one.made_at
        )
        for one in orders
    )


def _waiting(card: JobCard) -> Waiting:
    return Waiting(
        card.id,
        card.number,
        card.title,
        card.client_name,
        card.state,
        _WAITING[card.state],
        card.changed_at,
    )
