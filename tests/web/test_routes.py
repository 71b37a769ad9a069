"""No address vanishes unseen, and every one is checked before it changes anything."""

import re
from pathlib import Path

from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.routing import Match

from app.web import routes
from app.web.routes import _ROOMS

_LIST = Path(__file__).with_name("routes.txt")


def _addresses() -> list[str]:
    return sorted(
        f"{method} {route.path}"
        for room in _ROOMS
        for route in room.router.routes
        if isinstance(route, APIRoute)
        for method in route.methods
    )


def test_the_addresses_are_those_on_the_list() -> None:
    assert _addresses() == _LIST.read_text(encoding="utf-8").split("\n")[:-1]


def test_every_number_in_an_address_is_held_against_the_greatest_of_a_database() -> None:
    """`permitted` refuses what is too great by the name of the place."""
    for room in _ROOMS:
        for route in room.router.routes:
            assert isinstance(route, APIRoute)
            numbers = [
                place.name for place in route.dependant.path_params if place.field_info.annotation is int
            ]
            assert all(name.endswith("_id") for name in numbers), f"{route.path}: {numbers}"


def test_every_room_is_served_behind_the_check_of_forms() -> None:
    assert len(routes.routers) == len(_ROOMS)
    for router in routes.routers:
        assert [dependency.dependency.__name__ for dependency in router.dependencies] == [
            "checked",
            "permitted",
        ]


def test_a_room_is_asked_for_what_it_has_and_for_nothing_else() -> None:
    served = FastAPI()
    for room in routes.routers:
        served.include_router(room)
    for address in _addresses():
        method, path = address.split(" ")
        # Written with a value in each place, as a browser would.
        asked = re.sub(r"\{[a-z_]+\}", "7", path)
        scope = {"type": "http", "method": method, "path": asked, "headers": []}
        found = [one for one in served.router.routes if one.matches(dict(scope))[0] is Match.FULL]
        assert found, address
    strange = {"type": "http", "method": "GET", "path": "/jobs/7/price/none/of/ours", "headers": []}
    assert not [one for one in served.router.routes if one.matches(dict(strange))[0] is not Match.NONE]


def test_every_address_begins_with_a_plain_word_and_no_place_takes_a_slash() -> None:
    for address in _addresses():
        path = address.split(" ")[1]
        assert "{" not in path[1:].partition("/")[0], f"{address}: rooms are told apart by the first word"
        assert ":" not in path, f"{address}: and by how many parts there are"


def test_handlers_are_named_after_what_they_show_or_save() -> None:
    for room in _ROOMS:
        for route in room.router.routes:
            assert isinstance(route, APIRoute)
            verbs = ("show_",) if "GET" in route.methods else ("save_",)
            if route.path.startswith("/api/") and "POST" in route.methods:
                verbs = ("show_", "read_", "save_")  # a question too long for an address
            assert route.endpoint.__name__.startswith(verbs), route.path
