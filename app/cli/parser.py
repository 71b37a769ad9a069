"""What can be typed."""

from argparse import ArgumentParser, ArgumentTypeError, RawDescriptionHelpFormatter
from argparse import _SubParsersAction as SubParsers
from datetime import date
from importlib.metadata import version
from pathlib import Path

_WHOLE = """Quotes and schedules small rooftop outdoor-room jobs.

settings, from the environment:
  UPSTAND_DATA_DIR       folder for the database file (default: data/ in the checkout)
  UPSTAND_DATABASE_URL   database to use instead, such as postgresql+psycopg://…
  UPSTAND_HOST, UPSTAND_PORT, UPSTAND_BASE_URL, UPSTAND_SECURE_COOKIES,
  UPSTAND_TRUSTED_PROXIES, UPSTAND_DEMO,
  UPSTAND_BACKUP_DIR, UPSTAND_BACKUP_EVERY_H, UPSTAND_BACKUP_KEEP,
  UPSTAND_BACKUP_S3, UPSTAND_BACKUP_S3_ENDPOINT, UPSTAND_BACKUP_S3_REGION,
  UPSTAND_BACKUP_S3_KEY, UPSTAND_BACKUP_S3_SECRET, UPSTAND_MAIL_PASSWORD,
  UPSTAND_LOG, UPSTAND_METRICS_TOKEN"""

_PRICES = """prices: of the folder given with --shop; else of the shop in the data folder, if there is one;
else of the demo shop, whose prices are invented. The answer says which.
exit code: 0 done, 1 refused by a rule of the job, 2 wrong input (each fault on standard error with its
place, what stands there and what would do)."""


def make_parser() -> ArgumentParser:
    """Make the parser of all commands."""
    parser = ArgumentParser(prog="upstand", description=_WHOLE, formatter_class=RawDescriptionHelpFormatter)
    parser.add_argument("--version", action="version", version=f"upstand {version('upstand')}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _add_serve(commands)
    _add_answer(commands, "takeoff", "what to bring: quantities, cuts, loads, runs and findings")
    _add_answer(commands, "price", "where each cent comes from: lines, phases and the total")
    _add_answer(commands, "days", "what happens on which day, and what to order by when")
    _add_proposal(commands)
    _add_file_command(
        commands,
        "backup",
        "copy the database to a new file, while it is in use, and prove it (1: not all is as it was written)",
    )
    _add_file_command(
        commands, "restore", "put a backup in place of the database; the old one is kept beside it"
    )
    _add_check(commands)
    _add_file_command(
        commands,
        "export",
        "write the whole firm to one ZIP of open files (JSON, CSV, PDF), as private as a backup",
        module="firm_files",
    )
    _add_file_command(
        commands, "import", "read such a ZIP into an empty database, of any kind", module="firm_files"
    )
    return parser


def _add_check(commands: "SubParsers[ArgumentParser]") -> None:
    text = "prove what is kept: the file, the trail's hashes, fingerprints, PDFs and signatures"
    check = commands.add_parser("check", help=text, description=text)
    check.add_argument("--json", action="store_true", help="print the machine-readable answer")


def _add_serve(commands: "SubParsers[ArgumentParser]") -> None:
    serve = commands.add_parser("serve", help="serve the pages; ends with Ctrl+C")
    serve.add_argument("--port", type=_port, help="port to listen on (default: UPSTAND_PORT, 8080)")
    serve.add_argument("--host", help="address to listen on (default: UPSTAND_HOST, 127.0.0.1)")


def _add_answer(commands: "SubParsers[ArgumentParser]", name: str, text: str) -> None:
    command = commands.add_parser(
        name, help=text, description=text, epilog=_PRICES, formatter_class=RawDescriptionHelpFormatter
    )
    _add_job(command)
    command.add_argument(
        "--json",
        action="store_true",
        help="print the machine-readable answer; its keys: shared/schema/ANSWERS.md",
    )


def _add_proposal(commands: "SubParsers[ArgumentParser]") -> None:
    text = "print the proposal a job file would give; only one offered in the program can be signed"
    command = commands.add_parser(
        "proposal", help=text, description=text, epilog=_PRICES, formatter_class=RawDescriptionHelpFormatter
    )
    _add_job(command)
    command.add_argument("-o", "--output", type=Path, required=True, metavar="FILE.pdf", help="PDF to write")
    command.add_argument("--client", default="The client", help="name of the client, as printed")
    command.add_argument("--address", default="", help="address of the site, as printed")


def _add_job(command: ArgumentParser) -> None:
    command.add_argument("job_file", type=Path, metavar="JOBFILE", help="job file (JSON)")
    command.add_argument("--start", type=_day, metavar="DATE", help="first day on the roof (YYYY-MM-DD)")
    command.add_argument(
        "--today", type=_day, metavar="DATE", help="day the question is asked; default: today"
    )
    command.add_argument("--crew", default="", metavar="CODE", help="crew of the shop; default: its first")
    command.add_argument("--shop", type=Path, metavar="DIR", help="folder of a shop, like seed_data/shop")


def _add_file_command(
    commands: "SubParsers[ArgumentParser]", name: str, text: str, *, module: str = ""
) -> None:
    command = commands.add_parser(name, help=text, description=text)
    if module:
        command.add_argument("file", type=Path, metavar="FILE", help="ZIP file")
    else:
        command.add_argument("file", metavar="FILE", help="backup file, or s3://bucket/name")
    command.set_defaults(module=module or name)


def _day(typed: str) -> date:
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise ArgumentTypeError(f"{typed!r} is not a day; write it like 2026-05-04") from None


def _port(typed: str) -> int:
    if not typed.isdecimal() or int(typed) > 65535:
        raise ArgumentTypeError(f"{typed!r} is not a port; a number from 0 to 65535 would do")
    return int(typed)
