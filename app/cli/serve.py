"""`upstand serve`."""

import socket
from argparse import Namespace
from importlib import import_module

import uvicorn
from uvicorn.config import LOGGING_CONFIG

from app.actions.database import migrate
from app.actions.errors import Refused
from app.settings import Settings

GRACE_SECONDS = 30


def run(options: Namespace) -> int:
    """Serve until stopped; Refused when the address cannot be listened on."""
    given = {name: value for name in ("port", "host") if (value := getattr(options, name)) is not None}
    settings = Settings(**given)
    # The address is taken first: a demo whose password was shown must not fail to serve afterwards.
    listener = _listen(settings)
    settings = Settings(**{**given, "port": listener.getsockname()[1]})
    migrate(settings.url)
    # The server stands above the command line, which therefore does not import it but names it.
    app = import_module("app.main").create_app(settings)
    config = uvicorn.Config(
        app,
        log_config=None if settings.log == "json" else LOGGING_CONFIG,
        log_level="warning",
        # A request under way when the server is told to stop is answered first.
        timeout_graceful_shutdown=GRACE_SECONDS,
        # The access log would write down clients' tokens.
        access_log=False,
        server_header=False,
        proxy_headers=bool(settings.trusted_proxies),
        forwarded_allow_ips=settings.trusted_proxies,
    )
    uvicorn.Server(config).run(sockets=[listener])
    return 0


def _listen(settings: Settings) -> socket.socket:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    try:
        return socket.create_server((settings.host, settings.port), family=family)
    except OSError as fault:
        raise Refused(
            f"{settings.host} port {settings.port} cannot be listened on ({fault.strerror}). "
            "Name another with --port, or end what uses it."
        ) from fault
