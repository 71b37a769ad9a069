"""A calendar that standard clients subscribe to (RFC 5545): one all-day event for each task."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class FeedEvent:
    """One task in a feed; `key` stays the same when it moves, so that clients move it too."""

    key: str
    title: str
    start_on: date
    end_on: date
    text: str
    place: str


def calendar_feed(name: str, events: tuple[FeedEvent, ...], now: datetime) -> bytes:
    """Write a feed; days are whole days, the end is the day after the last (RFC 5545, 3.6.1)."""
    # The library takes a while to import: only feeds pay for it.
    from icalendar import Calendar, Event  # noqa: PLC0415

    calendar = Calendar()
    calendar.add("prodid", "-//Upstand//days//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for one in events:
        event = Event()
        event.add("uid", f"{one.key}@upstand")
        event.add("dtstamp", now)
        event.add("dtstart", one.start_on)
        event.add("dtend", one.end_on + ONE_DAY)
        event.add("summary", one.title)
        if one.text:
            event.add("description", one.text)
        if one.place:
            event.add("location", one.place)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    written = calendar.to_ical()
    assert isinstance(written, bytes)
    return written
