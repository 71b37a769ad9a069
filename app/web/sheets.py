"""The sheet: the numbered set of a job, the title block, the revision strip."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from app.actions.offer import revisions
from app.actions.records import JobSheet, RevisionCard
from app.actions.shop import has_shop, name_of_firm
from app.agreement.terms import Language
from app.documents.words import day_of, figures_in, filled, instant_of, money_of, rate_of, words_of
from app.web.rights import may
from app.web.visit import Desk

# Number, name and path of every sheet, in the order of the job.
SET: tuple[tuple[int, str, str], ...] = (
    (1, "Survey", "survey"),
    (2, "Plan", "plan"),
    (3, "Walls", "walls"),
    (4, "Rough-in", "rough-in"),
    (5, "Loads", "loads"),
    (6, "Takeoff", "takeoff"),
    (7, "Price", "price"),
    (8, "Proposal", "proposal"),
    (9, "Days", "days"),
    (10, "Orders", "orders"),
    (11, "Changes", "changes"),
    (12, "Log", "log"),
    (13, "Handover", "handover"),
)
SHOP: tuple[tuple[int, str, str], ...] = (
    (1, "Firm", "/shop"),
    (2, "Price list", "/shop/prices"),
    (3, "Assemblies", "/shop/assemblies"),
    (4, "Rules", "/shop/rules"),
    (5, "Crews", "/shop/crews"),
    (6, "Wording", "/shop/wording"),
    (7, "Calendar and law", "/shop/calendar"),
    (8, "People", "/shop/people"),
    (9, "Rules of work", "/shop/work"),
    (10, "Terms", "/shop/terms"),
    (11, "Mail", "/shop/mail"),
    (12, "Rack", "/shop/rack"),
    (13, "Warranty", "/shop/warranty"),
)
DESK: tuple[tuple[str, str], ...] = (
    ("This week", "/"),
    ("Jobs", "/jobs"),
    ("Clients", "/clients"),
    ("The shop", "/shop"),
)


@dataclass(frozen=True, slots=True)
class Tab:
    """One tab of the numbered edge."""

    number: int
    name: str
    path: str
    is_open: bool


@dataclass(frozen=True, slots=True)
class StripRow:
    """One row of the revision strip."""

    revision: str
    on: date | datetime | None
    what: str


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands round the content of a page.

    `title` heads the browser's tab and is the page's heading; `cells` are those of the title block; `said`
    is what just happened, read out to screen readers.
    """

    title: str
    firm: str
    desk: tuple[Tab, ...] = ()
    edge: tuple[Tab, ...] = ()
    edge_name: str = ""
    cells: tuple[tuple[str, str], ...] = ()
    strip: tuple[StripRow, ...] = ()
    staff_name: str = ""
    said: str = ""
    is_wrong: bool = False
    language: Language = "en"  # the client's pages alone speak another

    def say(self, text: str) -> str:
        """A text of ours in the language of the page."""
        return words_of(self.language)(text)

    def fill(self, text: str, *parts: object) -> str:
        """A text of ours in the language of the page, with its places filled."""
        return filled(self.language)(text, *parts)

    def on(self, day: date) -> str:
        """A day in the language of the page."""
        return day_of(self.language)(day)

    def at(self, instant: datetime) -> str:
        """An instant in the language of the page."""
        return instant_of(self.language)(instant)

    def money(self, amount: Decimal, currency: str) -> str:
        """An amount in the language of the page."""
        return money_of(self.language)(amount, currency).replace("-", "−")

    def rate(self, pct: Decimal) -> str:
        """A rate in the language of the page, without zeros behind."""
        return rate_of(self.language)(pct)

    def num(self, value: float, digits: int = 0) -> str:
        """A number in the language of the page."""
        return figures_in(f"{value:,.{digits}f}".replace("-", "−"), self.language)


_SAID = {
    "saved": "Saved.",
    "added": "Added.",
    "removed": "Removed.",
    "counter-signed": "Signed for the firm.",
    "offered": "The revision is made. Make a link below to send it.",
    "revoked": "The link is withdrawn.",
    "signed": "The hold point is signed.",
    "accepted": "The plan holds from now on.",
    "refused": "It is noted that the hold point was not passed; a new visit is planned.",
    "ordered": "The order is made; send its paper to the supplier.",
    "changed": "The change order is made.",
    "invoiced": "The invoice is made.",
    "handed": "The file is frozen. Make or send the client’s address.",
    "tried": "The letter was sent. Look whether it arrived.",
    "sent": "The link is sent.",
    "answered": "Your answer stands on the client’s page.",
    "signed-out": "You are signed out.",
    "change-password": "The first password is known to two people: change it before anything else.",
    "set-factor": "The shop asks for a second factor: set one before anything else.",
    "password": "The password is changed; all other sessions are ended.",
    "ended": "The session is ended.",
    "racked": "The rack and the job agree again.",
    "put-back": "It lies in the rack again.",
    "factor-removed": "The app is removed; all other sessions are ended.",
    "passkey": "The passkey is added; all other sessions are ended.",
    "passkey-named": "The passkey has its new name.",
    "passkey-removed": "The passkey is removed; all other sessions are ended.",
    "key-removed": "The key is taken away; it works no more.",
}


def said(desk: Desk) -> str:
    """The words for what the last request did, from a fixed list."""
    return _SAID.get(desk.request.query_params.get("said", ""), "")


def firm_name(desk: Desk) -> str:
    """The firm as it calls itself, or the product's name until it is entered."""
    return name_of_firm(desk.db) or "Upstand"


def desk_frame(desk: Desk, title: str, *, at: str, is_wrong: bool = False) -> Frame:
    """The frame of a page that belongs to no job; `at` is the path of its place in the desk's list."""
    firm = firm_name(desk)
    edge = (
        tuple(
            Tab(number, name, path, name == title)
            for number, name, path in SHOP
            if may(desk.staff, "GET", path)
        )
        if at == "/shop" and has_shop(desk.db)
        else ()
    )
    return Frame(
        title=title,
        firm=firm,
        desk=_desk_tabs(desk, at),
        edge=edge,
        edge_name="Sheets of the shop" if edge else "",
        cells=(
            ("Firm", firm),
            ("Sheet", title),
            ("Date", desk.today.isoformat()),
        ),
        staff_name=desk.staff.name,
        said=said(desk),
        is_wrong=is_wrong,
    )


def job_frame(desk: Desk, sheet: JobSheet, number: int, *, title: str = "", is_wrong: bool = False) -> Frame:
    """The frame of one sheet of a job."""
    firm = firm_name(desk)
    made = revisions(desk.db, sheet.id, desk.today)
    name = next(name for at, name, _ in SET if at == number)
    changed = next((entry for entry in sheet.history if entry.after_version is not None), None)
    return Frame(
        title=title or name,
        firm=firm,
        desk=_desk_tabs(desk, "/jobs"),
        edge=tuple(
            Tab(at, word, f"/jobs/{sheet.id}/{path}", at == number)
            for at, word, path in SET
            if may(desk.staff, "GET", f"/jobs/{{job_id}}/{path}")
        ),
        edge_name=f"Sheets of job {sheet.number}",
        cells=(
            ("Firm", firm),
            ("Job", f"{sheet.number}  {sheet.title}"),
            ("Sheet", name),
            ("Client", sheet.client.name),
            ("State", sheet.state),
            ("Saved as version", str(sheet.version)),
            ("Revision", str(made[0].number) if made else "none offered"),
            ("Date", (changed.at.astimezone().date() if changed else desk.today).isoformat()),
            ("Drawn by", changed.who if changed else sheet.job.survey.surveyed_by),
            ("Sheet number", f"{number} of {len(SET)}"),
            ("Lengths", "mm where no unit is shown"),
            ("Standing", _standing(made)),
        ),
        strip=tuple(StripRow(str(card.number), card.offered_on, _what(card)) for card in made[:3]),
        staff_name=desk.staff.name,
        said=said(desk),
        is_wrong=is_wrong,
    )


def _desk_tabs(desk: Desk, at: str) -> tuple[Tab, ...]:
    mine = [(name, path) for name, path in DESK if may(desk.staff, "GET", path)]
    return tuple(Tab(number, name, path, path == at) for number, (name, path) in enumerate(mine, 1))


def _standing(made: tuple[RevisionCard, ...]) -> str:
    return "signed" if any(card.state == "signed" for card in made) else "not for construction"


def _what(card: RevisionCard) -> str:
    words = {
        "live": "offered",
        "signed": "offered and signed",
        "declined": "offered and declined",
        "superseded": "replaced by a newer one",
        "run out": "offered, run out",
        "cancelled": "signed and cancelled",
    }
    return words[card.state]
