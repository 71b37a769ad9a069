"""What whoever runs the server may watch: a line a request, figures for Prometheus, no secret in either."""

import hmac
import json
import logging
import sys
import time
from datetime import UTC, datetime

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse
from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram, ProcessCollector
from prometheus_client.exposition import CONTENT_TYPE_LATEST, generate_latest
from starlette.types import ASGIApp, Message, Receive, Scope, Send

log = logging.getLogger("upstand.requests")
_FIELDS = ("method", "route", "status", "ms", "who")
_BUCKETS_S = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
_LOOPBACK = frozenset({"127.0.0.1", "::1"})


class Figures:
    """The figures of one server process."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        ProcessCollector(registry=self.registry)
        labels = ("method", "route", "status")
        self.requests = Counter("upstand_requests", "Requests answered", labels, registry=self.registry)
        self.seconds = Histogram(
            "upstand_request_seconds",
            "How long an answer took",
            ("route",),
            buckets=_BUCKETS_S,
            registry=self.registry,
        )
        self.under_way = Gauge(
            "upstand_requests_under_way", "Requests not answered yet", registry=self.registry
        )
        self.last_backup = Gauge(
            "upstand_last_backup_timestamp_seconds",
            "When the last backup by the clock was made; 0: none",
            registry=self.registry,
        )
        self.last_sent = Gauge(
            "upstand_last_sent_backup_timestamp_seconds",
            "When the last backup that also lies at the far target was made; 0: none since the start",
            registry=self.registry,
        )


class Watch:
    """Counts and times every request, writes its line; a route is named by its pattern, not its values."""

    def __init__(self, app: ASGIApp, figures: Figures) -> None:
        self.app = app
        self.figures = figures

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on and look at what comes back."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        began, status = time.perf_counter(), 500

        async def send_watched(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        with self.figures.under_way.track_inprogress():
            try:
                await self.app(scope, receive, send_watched)
            finally:
                self._note(scope, status, time.perf_counter() - began)

    def _note(self, scope: Scope, status: int, seconds: float) -> None:
        route, method = pattern_of(scope), known_method(scope["method"])
        self.figures.requests.labels(method, route, str(status)).inc()
        self.figures.seconds.labels(route).observe(seconds)
        if log.isEnabledFor(logging.INFO):
            staff = scope.get("state", {}).get("staff")
            fields = (method, route, status, round(seconds * 1000, 1), getattr(staff, "id", None))
            log.info("answered", extra=dict(zip(_FIELDS, fields, strict=True)))


def pattern_of(scope: Scope) -> str:
    """The address as a pattern: a client's token, a name or an id in it is nobody's business in a log."""
    path = getattr(scope.get("route"), "path", "")
    return path or ("/static" if scope["path"].startswith("/static/") else "none of ours")


def known_method(method: str) -> str:
    """The method, if it is one that is used: a made-up one would be a new figure each time."""
    return method if method in ("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH") else "other"


class JsonLines(logging.Formatter):
    """One JSON object for each line of the log; a line break in a value cannot make a new line."""

    def format(self, record: logging.LogRecord) -> str:
        """Give the line."""
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        line = {"at": at, "level": record.levelname.lower(), "from": record.name, "what": record.getMessage()}
        line |= {name: getattr(record, name) for name in _FIELDS if hasattr(record, name)}
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)


def start_log() -> None:
    """Write the program's log as JSON lines to standard error, each request in it."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    for name in ("upstand", "uvicorn"):
        logger = logging.getLogger(name)
        logger.handlers, logger.propagate = [handler], False
        logger.setLevel(logging.INFO)


def install(app: FastAPI, token: str) -> Figures:
    """Watch every request of this app, and give the figures at /metrics to this machine or with the token."""
    figures = Figures()
    app.add_middleware(Watch, figures=figures)

    @app.get("/metrics", include_in_schema=False)
    def show_metrics(request: Request) -> Response:
        """The figures, for Prometheus."""
        if not _may_watch(request, token):
            return PlainTextResponse("Not here.\n", status_code=404)
        return Response(generate_latest(figures.registry), media_type=CONTENT_TYPE_LATEST)

    return figures


def _may_watch(request: Request, token: str) -> bool:
    """Whether somebody on this machine asks, not through a proxy on it, or somebody who has the token."""
    given = request.headers.get("authorization", "").removeprefix("Bearer ")
    if token and hmac.compare_digest(given.encode(), token.encode()):
        return True
    through = {"forwarded", "x-forwarded-for", "x-real-ip", "via"} & set(request.headers)
    return not token and not through and request.client is not None and request.client.host in _LOOPBACK
