"""The JSON API described by the open standard, for whoever is signed in."""

from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.openapi.utils import get_openapi
from fastapi.responses import JSONResponse

from app.web.visit import AtDesk

router = APIRouter(prefix="/api")
_ERROR: dict[str, Any] = {
    "type": "object",
    "description": "The one shape of every failure.",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["status", "title", "text", "details", "reference"],
            "properties": {
                "status": {"type": "integer"},
                "title": {"type": "string"},
                "text": {"type": "string"},
                "details": {"type": "array", "items": {"type": "string"}},
                "reference": {"type": "string"},
            },
        }
    },
}
_KEY = {"type": "http", "scheme": "bearer", "description": "A key made on the page of one's own account."}


@router.get("/openapi.json")
def show_openapi(desk: AtDesk) -> Response:
    """What can be asked of the JSON API, and how it answers."""
    return JSONResponse(described(desk.request))


def described(request: Request) -> dict[str, Any]:
    """The description of every address of the API; pages are not part of it."""
    whole = get_openapi(title="Upstand", version=request.app.version, routes=request.app.routes)
    whole["paths"] = {path: rows for path, rows in whole["paths"].items() if path.startswith("/api/")}
    failure = {"description": "Not done", "content": {"application/json": {"schema": _reference()}}}
    for rows in whole["paths"].values():
        for operation in rows.values():
            operation["responses"].pop("422", None)
            operation["responses"]["default"] = failure
    whole["components"] = {"schemas": {"Failure": _ERROR}, "securitySchemes": {"key": _KEY}}
    whole["security"] = [{"key": []}]
    return whole


def _reference() -> dict[str, str]:
    return {"$ref": "#/components/schemas/Failure"}
