"""The worker that keeps the page for notes and the day sheet on the device, for a time without connection."""

import hashlib
import json
from functools import cache

from fastapi import APIRouter, Response

from app.settings import STATIC

router = APIRouter()
_STYLES = ("tokens", "base", "sheet", "forms", "tables", "offer", "drawing")
_ASSETS = (
    *(f"css/{name}.css" for name in _STYLES),
    "fonts/archivo-narrow-latin-400-normal.woff2",
    "fonts/archivo-narrow-latin-600-normal.woff2",
    "fonts/archivo-narrow-latin-700-normal.woff2",
    "icon.svg",
    "js/page.js",
    "js/roof.js",
    "js/site_notes.js",
    "vendor/htmx.min.js",
)


@router.get("/roof-worker.js")
def show_roof_worker() -> Response:
    """The worker's script, with the version of what it keeps; it may serve the pages of jobs alone."""
    return Response(_script(), media_type="text/javascript; charset=utf-8")


@cache
def _script() -> str:
    mark = hashlib.sha256()
    for name in _ASSETS:
        mark.update((STATIC / name).read_bytes())
    assets = json.dumps([f"/static/{name}" for name in _ASSETS])
    script = (STATIC / "js" / "roof_worker.js").read_text(encoding="utf-8")
    return script.replace("{{version}}", mark.hexdigest()[:12]).replace("{{assets}}", assets)
