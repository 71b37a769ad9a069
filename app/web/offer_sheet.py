"""The sheets that the client sees: the offer, and the certificate of its signature."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from app.actions.questions import Said
from app.actions.records import OfferView
from app.agreement.records import Wording
from app.documents.words import is_said
from app.web.findings import Fault
from app.web.sheets import Frame


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph, or a list when `items` is not empty."""

    text: str
    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OfferSheet:
    """The offer as the client reads it.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    offer : OfferView
        Public fields only.
    svg : Markup
        The plan.
    wording : dict of str to (str, tuple of Paragraph)
        Title and paragraphs by code.
    rest : tuple of str
        Codes of the wording that has no place of its own on the page.
    reference : str
        What to quote: job, revision and the head of the fingerprint.
    name : str
        As typed, when it must be typed again.
    faults : tuple of Fault
        What must be mended before it can be signed.
    said : tuple of Said
        Questions and answers, in order.
    needs_code : bool
        Whether a code sent by mail comes before the signature.
    walls : tuple of (str, Markup)
        Elevations.
    night : Markup or None
        The light after dark; None where no lights are drawn.
    particulars : tuple of (str, str)
        What the firm says on every offer.
    cancel_by : tuple of (date, date)
        Day of signing and last day to cancel, were it signed now.
    typed : frozenset of str
        Names that people typed, which are no words of ours.
    copy_sent : bool
        Whether the signed copy went to the client by mail.
    """

    frame: Frame
    offer: OfferView
    svg: Markup
    wording: dict[str, tuple[str, tuple[Paragraph, ...]]]
    rest: tuple[str, ...]
    reference: str
    name: str
    faults: tuple[Fault, ...]
    said: tuple[Said, ...]
    needs_code: bool
    walls: tuple[tuple[str, Markup], ...]
    night: Markup | None
    particulars: tuple[tuple[str, str], ...]
    cancel_by: tuple[tuple[date, date], ...]
    typed: frozenset[str]
    copy_sent: bool

    def is_said(self, line: str) -> bool:
        """Whether a sentence of the engine can be said in the language of the offer."""
        return is_said(self.offer.terms.language, line)


@dataclass(frozen=True, slots=True)
class CertificateSheet:
    """The certificate of a signature.

    Attributes
    ----------
    frame : Frame
        What stands round the page.
    offer : OfferView
        As signed.
    reference : str
        What to quote.
    evidence : dict
        What was kept with the signature.
    done : function
        What was done through the link, in the language of the offer.
    """

    frame: Frame
    offer: OfferView
    reference: str
    evidence: dict[str, Any]
    done: Callable[[str], str]

    def moment(self, kept: str) -> str:
        """An instant of the evidence in the language of the offer."""
        return self.frame.at(datetime.fromisoformat(kept))


@lru_cache(maxsize=128)
def paragraphs_of(part: Wording) -> tuple[Paragraph, ...]:
    """The wording's paragraphs; lines that start with a hyphen are a list."""
    found: list[Paragraph] = []
    for block in part.text.replace("\r\n", "\n").split("\n\n"):
        lines = [line.strip() for line in block.splitlines() if line.strip()]
        words = " ".join(line for line in lines if not line.startswith("- "))
        items = tuple(line[2:] for line in lines if line.startswith("- "))
        if words or items:
            found.append(Paragraph(words, items))
    return tuple(found)
