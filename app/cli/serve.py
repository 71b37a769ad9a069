"""`upstand serve`."""

from argparse import Namespace
from importlib import import_module

import uvicorn

from app.settings import Settings


def run(options: Namespace) -> int:
    """Serve until stopped."""
    given = {"port": options.port, "host": options.host}
    settings = Settings(**{name: value for name, value in given.items() if value is not None})
    # The server stands above the command line, which therefore does not import it but names it.
    app = import_module("app.main").create_app(settings)
    uvicorn.run(
        app,
        host=settings.host,
        port=settings.port,
        log_level="warning",
        # The access log would write down clients' tokens.
        access_log=False,
        server_header=False,
        proxy_headers=False,
    )
    return 0
