"""All pages, in the order of the job; the server includes these routers, and nothing else serves a page."""

from fastapi import APIRouter, Depends, FastAPI
from fastapi.routing import APIRoute
from fastapi.staticfiles import StaticFiles
from starlette.routing import Match
from starlette.types import Scope

from app.actions.database import Database
from app.actions.passkeys import site_of
from app.actions.records import Renderer
from app.settings import STATIC
from app.web import (
    account,
    all_days,
    api,
    assemblies,
    board,
    calendar_and_law,
    changes,
    client_changes,
    client_link,
    clients,
    day_sheet,
    days,
    drawings_out,
    editing,
    errors,
    feeds,
    first_shop,
    handover,
    imports,
    job_file,
    jobs,
    loads,
    log,
    mail,
    money,
    new_item,
    openapi,
    options,
    orders,
    passkeys,
    people,
    plan,
    price,
    prices,
    proposal,
    rack,
    roof_worker,
    rough_in,
    security,
    shop,
    sign_in,
    site_notes,
    specimen,
    survey,
    takeoff,
    task_moves,
    terms,
    underlays,
    walls,
    warranty,
    week,
    work_rules,
)
from app.web.rights import permitted
from app.web.visit import checked

# Addresses are tried in this order: first the page that clients read, on phones.
_ROOMS = (
    client_link,
    sign_in,
    account,
    passkeys,
    week,
    all_days,
    clients,
    jobs,
    job_file,
    survey,
    plan,
    board,
    underlays,
    drawings_out,
    walls,
    warranty,
    roof_worker,
    rough_in,
    loads,
    takeoff,
    rack,
    price,
    options,
    proposal,
    days,
    task_moves,
    day_sheet,
    orders,
    changes,
    money,
    log,
    site_notes,
    handover,
    first_shop,
    shop,
    assemblies,
    imports,
    prices,
    new_item,
    calendar_and_law,
    terms,
    mail,
    people,
    work_rules,
    feeds,
    specimen,
    client_changes,
    openapi,
    api,
    editing,
)


class Room(APIRouter):
    """The same pages: every unsafe request is checked, and every role, before a handler sees it.

    An address of a shape that no page here has is let by at once: with fifty rooms to ask, one after the
    other and page by page, the asking would take longer than many an answer.
    """

    def __init__(self, router: APIRouter) -> None:
        super().__init__(dependencies=[Depends(checked), Depends(permitted)])
        self.include_router(router)
        self.shapes = frozenset(_shape(route.path) for route in router.routes if isinstance(route, APIRoute))

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """Tell whether one of the pages is asked for."""
        if _shape(scope["path"]) not in self.shapes:
            return Match.NONE, {}
        return super().matches(scope)


def _shape(path: str) -> tuple[int, str]:
    """Give how many parts an address has, and the first, which is a plain word in all of ours."""
    return path.count("/"), path[1:].partition("/")[0]


routers: tuple[Room, ...] = tuple(Room(room.router) for room in _ROOMS)


def install(
    app: FastAPI,
    database: Database,
    renderer: Renderer,
    *,
    is_secure: bool,
    address: str = "http://localhost",
) -> None:
    """Give the app everything the pages need: database, printer, headers, errors, pages, static files."""
    app.state.database = database
    app.state.renderer = renderer
    app.state.is_secure = is_secure
    app.state.site = site_of(address)
    security.install(app)
    errors.install(app)
    for router in routers:
        app.include_router(router)
    # An address is itself or none: no redirect is made from what the sender calls this host.
    app.router.redirect_slashes = False
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
