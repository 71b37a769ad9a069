"""The handover file: as built, hidden runs, photos, heights, products, care, warranty, punch list."""

from dataclasses import dataclass
from datetime import date

from app.agreement.records import Party, Wording
from app.build.care import SeasonCare
from app.build.warranty import WarrantyRow
from app.documents.contact_sheet import Photo, contact_sheets
from app.documents.purchase_order import Titled
from app.documents.render import pdf


@dataclass(frozen=True, slots=True)
class RunRow:
    """One hidden run as it was left."""

    tag: str
    ends: str
    size: str
    length: str
    checks: str


@dataclass(frozen=True)
class HandoverInputs:
    """All that the handover file is printed from."""

    firm: Party
    client: Party
    job_number: str
    job_title: str
    site_address: str
    plan_svg: str
    rough_in_svg: str
    frame_svg: str
    pads: tuple[tuple[str, str, str, str], ...]
    runs: tuple[RunRow, ...]
    places: tuple[tuple[str, str, str, str, str], ...]
    products: tuple[tuple[str, str], ...]
    holds: tuple[tuple[str, str], ...]
    papers: tuple[tuple[str, str], ...]
    missing: tuple[str, ...]
    photos: tuple[Photo, ...]
    punch: tuple[tuple[str, str], ...]
    warranty_from_on: date | None
    warranty: tuple[WarrantyRow, ...]
    warranty_words: str
    care: tuple[SeasonCare, ...]
    wording: tuple[Wording, ...]
    made_on: date
    has_ways: bool = False


def handover_pdf(inputs: HandoverInputs) -> bytes:
    """Print the handover file; the same inputs give the same bytes."""
    context = {**vars(inputs), "job": Titled(inputs.job_title), "sheets": contact_sheets(inputs.photos)}
    return pdf("handover_file.html", context)
