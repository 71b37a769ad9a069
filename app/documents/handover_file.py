"""The handover file: as built, hidden runs, photos, heights, products, care, warranty, punch list."""

import base64
from dataclasses import dataclass
from datetime import date

from app.agreement.records import Party, Wording
from app.documents.purchase_order import Titled
from app.documents.render import pdf

# Care by season: common practice, no source; makers' papers and the engineer's letter come first.
CARE: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "Spring",
        (
            "Open the hatches, clear every drain and overflow, run water from a hose.",
            "Tighten fixings; press the test button of the outlets’ protection; look over every cable end.",
            "Wash the boards; irrigation on.",
        ),
    ),
    (
        "Summer",
        (
            "Look at shade ties and planters; wet soil must stay within the load letter.",
            "Gas joints are looked over by a licensed gas fitter.",
        ),
    ),
    (
        "Autumn",
        ("Leaves off the drains every week.", "Drain water lines down; tie down or take in loose things."),
    ),
    (
        "Winter",
        (
            "Snow only up to the limit of the engineer’s letter; plastic shovels, no salt on metal.",
            "Keep the overflows open.",
        ),
    ),
    ("Every two to three years", ("Lift sample boards at the drains and look at the membrane; level; oil.",)),
)


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
    pads: tuple[tuple[str, str, str], ...]
    products: tuple[tuple[str, str], ...]
    holds: tuple[tuple[str, str], ...]
    papers: tuple[tuple[str, str], ...]
    missing: tuple[str, ...]
    photos: tuple[tuple[str, bytes], ...]
    punch: tuple[tuple[str, str], ...]
    warranty_from_on: date | None
    wording: tuple[Wording, ...]
    made_on: date


def handover_pdf(inputs: HandoverInputs) -> bytes:
    """Print the handover file; the same inputs give the same bytes."""
    photos = tuple(
        (words, f"data:image/jpeg;base64,{base64.b64encode(jpeg).decode()}") for words, jpeg in inputs.photos
    )
    context = {**vars(inputs), "job": Titled(inputs.job_title), "pictures": photos, "care": CARE}
    return pdf("handover_file.html", context)
