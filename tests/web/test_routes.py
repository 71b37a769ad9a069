"""No address vanishes unseen, and every one is checked before it changes anything."""

from pathlib import Path

from fastapi.routing import APIRoute

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


def test_every_room_is_served_behind_the_check_of_forms() -> None:
    assert len(routes.routers) == len(_ROOMS)
    for router in routes.routers:
        assert [dependency.dependency.__name__ for dependency in router.dependencies] == [
            "checked",
            "permitted",
        ]


def test_handlers_are_named_after_what_they_show_or_save() -> None:
    for room in _ROOMS:
        for route in room.router.routes:
            assert isinstance(route, APIRoute)
            verbs = ("show_",) if "GET" in route.methods else ("save_",)
            if route.path.startswith("/api/") and "POST" in route.methods:
                verbs = ("show_", "read_", "save_")  # a question too long for an address
            assert route.endpoint.__name__.startswith(verbs), route.path
