"""Calendars by secret address: read by calendar programs, made on the crews' page and the Days sheet."""

from fastapi import APIRouter, Response

from app.actions.feeds import CREW, feed, make_feed
from app.web.feeds_page import crew_feed_page
from app.web.visit import AtDesk, AtDoor, Posted, text

router = APIRouter()


@router.get("/feeds/{token}.ics")
def show_feed(door: AtDoor, token: str) -> Response:
    """A calendar (RFC 5545)."""
    address = door.request.client.host if door.request.client else ""
    written = feed(door.db, token[:200], door.now, address)
    return Response(written, media_type="text/calendar; charset=utf-8")


@router.post("/shop/crews/feed")
def save_crew_feed(desk: AtDesk, form: Posted) -> Response:
    """Make the secret address of a crew's calendar; shown this once."""
    token = make_feed(desk.db, desk.staff, CREW, text(form, "code", 40), desk.now)
    return crew_feed_page(desk, f"{str(desk.request.base_url).rstrip('/')}/feeds/{token}.ics")


@router.get("/shop/crews/feed")
def show_crew_feeds(desk: AtDesk) -> Response:
    """The calendars of the crews."""
    return crew_feed_page(desk, "")
