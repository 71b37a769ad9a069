"""Turns one page of a PDF into a picture, in a process of its own with little memory and little time.

Reads the file from standard input; writes one line of JSON and then the PNG. Run by `page_picture`.
"""

import io
import json
import sys

MOST_BYTES = 2_800_000  # in base64 and JSON it stays below what one request may hold
MOST_PAGES = 500
MOST_POINTS = 14_400.0  # the largest side of a page, ISO 32000-1 annex C
LONGEST_PX = 2400
CPU_S = 6
_MEMORY_BYTES = 1_500_000_000


def main(number: int) -> None:
    """Picture one page of the file on standard input; the first is number 1."""
    _stay_small()
    # Only this process pays for it.
    import pypdfium2  # noqa: PLC0415

    try:
        document = pypdfium2.PdfDocument(sys.stdin.buffer.read(MOST_BYTES + 1))
    except pypdfium2.PdfiumError:
        _answer({"refused": "unreadable"})
        return
    pages = len(document)
    if pages > MOST_PAGES or not 1 <= number <= pages:
        _answer({"refused": "pages", "pages": pages})
        return
    page = document[number - 1]
    wide, high = page.get_size()
    if not (0 < wide <= MOST_POINTS and 0 < high <= MOST_POINTS):
        _answer({"refused": "size", "pages": pages})
        return
    drawn = page.render(scale=LONGEST_PX / max(wide, high), may_draw_forms=False).to_pil()
    png = io.BytesIO()
    drawn.save(png, "PNG")
    _answer({"pages": pages, "wide_pt": wide, "high_pt": high}, png.getvalue())


def _stay_small() -> None:
    if sys.platform != "win32":  # there only the caller's clock stops it
        import resource  # noqa: PLC0415

        resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S + 1))
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY_BYTES, _MEMORY_BYTES))


def _answer(head: dict[str, object], png: bytes = b"") -> None:
    sys.stdout.buffer.write(json.dumps(head).encode() + b"\n" + png)


if __name__ == "__main__":
    main(int(sys.argv[1]))
