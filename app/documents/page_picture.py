"""A page of a PDF that somebody sent, as a picture to draw upon: an old plan, a sheet of the architect's."""

import json
import subprocess
import sys
from dataclasses import dataclass

from app.documents.page_worker import MOST_BYTES, MOST_PAGES
from app.job.errors import InputError, InputErrors

TIME_S = 12.0
_MM_PER_POINT = 25.4 / 72  # ISO 32000-1, 8.3.2.3


@dataclass(frozen=True, slots=True)
class PagePicture:
    """One page: how many there are, how large it is on paper, and what it looks like."""

    pages: int
    wide_mm: float
    high_mm: float
    png: bytes


def page_picture(pdf: bytes, number: int) -> PagePicture:
    """Give one page of a PDF as a picture; InputErrors when it cannot be read within the limits.

    The file is opened in a process of its own, which is stopped when it takes long or asks for much memory.
    """
    if len(pdf) > MOST_BYTES:
        wanted = f"The PDF has {len(pdf) / 1e6:.1f} MB; send one of up to {MOST_BYTES / 1e6:.1f} MB."
        raise _fault(wanted)
    if not pdf[:1024].lstrip().startswith(b"%PDF-"):
        raise _fault("This is not a PDF file.")
    command = [sys.executable, "-m", "app.documents.page_worker", str(number)]
    try:
        done = subprocess.run(  # noqa: S603 - our own module, a whole number
            command, input=pdf, capture_output=True, timeout=TIME_S, check=False
        )
    except subprocess.TimeoutExpired as late:
        raise _fault(_TOO_MUCH) from late
    if done.returncode:  # out of time or memory, or the reader fell over
        raise _fault(_TOO_MUCH)
    line, _, png = done.stdout.partition(b"\n")
    head = json.loads(line)
    if "refused" in head:
        raise _fault(_refusal(head, number))
    return PagePicture(head["pages"], head["wide_pt"] * _MM_PER_POINT, head["high_pt"] * _MM_PER_POINT, png)


_TOO_MUCH = (
    "This page takes too long or too much memory to draw. Print it to a new PDF, or send a picture of it."
)


def _refusal(head: dict[str, object], number: int) -> str:
    if head["refused"] == "pages":
        if int(str(head["pages"])) > MOST_PAGES:
            return f"The PDF has {head['pages']} pages; send one of up to {MOST_PAGES}."
        return f"The PDF has {head['pages']} pages; there is no page {number}."
    if head["refused"] == "size":
        return "The page has no size that paper has."
    return "The PDF cannot be read; it may be damaged or locked with a password. Print it to a new PDF."


def _fault(wanted: str) -> InputErrors:
    return InputErrors((InputError("pdf", "", wanted),))
