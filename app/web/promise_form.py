"""The form of what a job promises and what its building asks for."""

from datetime import date

from starlette.datastructures import FormData

from app.actions.day_records import JobPromise
from app.schedule.work_rules import SiteRules
from app.web.forms.plain import Entry, as_day, as_decimal, typed

PROMISE = (
    Entry("finish_by_on", "Promised to end by", "date", is_needed=False),
    Entry("opens_h", "Noise allowed from", "number", unit="h"),
    Entry("closes_h", "Noise allowed until", "number", unit="h"),
    Entry(
        "needs_hoist",
        "Carried up by",
        "choice",
        options=(("", "hand or the building's lift"), ("yes", "our hoist")),
    ),
    Entry(
        "hoist_days",
        "Lift, hoist or street booked",
        hint="First and last day, bookings parted by commas: 2026-05-14 2026-05-15. Empty: any day.",
    ),
    Entry("access_notes", "Access, neighbours, keys", "words"),
)


def promise_values(promise: JobPromise) -> dict[str, str]:
    """What stands in the form."""
    site = promise.site
    return {
        "finish_by_on": promise.finish_by_on.isoformat() if promise.finish_by_on else "",
        "opens_h": f"{site.opens_h:g}",
        "closes_h": f"{site.closes_h:g}",
        "needs_hoist": "yes" if site.needs_hoist else "",
        "hoist_days": ", ".join(f"{first.isoformat()} {last.isoformat()}" for first, last in site.hoist_days),
        "access_notes": promise.access_notes,
    }


def promise_of(form: FormData) -> tuple[JobPromise | None, tuple[str, ...]]:
    """What was typed, or what must be mended."""
    values = typed(PROMISE, form)
    faults = []
    finish = as_day(values["finish_by_on"])
    if values["finish_by_on"] and finish is None:
        faults.append("Give the promised day as year-month-day, such as 2026-07-31")
    hours = [as_decimal(values[name] or usual) for name, usual in (("opens_h", "0"), ("closes_h", "24"))]
    if any(hour is None or not 0 <= hour <= 24 for hour in hours):
        faults.append("Give the hours of noise as numbers from 0 to 24")
    booked: list[tuple[date, date]] = []
    for part in filter(None, (part.strip() for part in values["hoist_days"].split(","))):
        days = [as_day(word) for word in part.split()]
        first, last = (days[0], days[-1]) if 1 <= len(days) <= 2 else (None, None)
        if first is None or last is None:
            faults.append(f"“{part}” should read as two days, such as 2026-05-14 2026-05-15")
        else:
            booked.append((first, last))
    if faults:
        return None, tuple(faults)
    site = SiteRules(
        float(hours[0] or 0), float(hours[1] or 24), values["needs_hoist"] == "yes", tuple(booked)
    )
    return JobPromise(finish, site, values["access_notes"]), ()
