"""HTML to PDF: one template environment, one renderer, no file or address but our own assets."""

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from hashlib import sha256
from typing import Any
from urllib.parse import unquote, urlsplit

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from app.agreement.records import Wording
from app.agreement.wording import CAUTION, blocks, printed_source
from app.measure import show
from app.settings import STATIC, TEMPLATES


class OutsideAsset(Exception):
    """A document asked for something that is not one of our own assets."""


def pdf(template: str, context: Mapping[str, object]) -> bytes:
    """Print a template as a tagged PDF; the same context gives the same bytes."""
    printed = _laid_out(template, context).write_pdf(finisher=_name_scopes, pdf_variant="pdf/ua-1")
    assert isinstance(printed, bytes)
    return printed


def pdf_on_one_page(template: str, contexts: Iterable[Mapping[str, object]]) -> bytes:
    """Print the first of some contexts that fits one page; the last one whatever it takes."""
    document = None
    for context in contexts:
        document = _laid_out(template, context)
        if len(document.pages) == 1:
            break
    assert document is not None, "there is at least one context"
    printed = document.write_pdf(finisher=_name_scopes, pdf_variant="pdf/ua-1")
    assert isinstance(printed, bytes)
    return printed


def _name_scopes(_document: Any, written: Any) -> None:
    """Say of each head of a table whether it heads a row or a column (ISO 14289-1, 7.5); ours head one."""
    elements = {
        part.reference: part
        for part in written.objects
        if hasattr(part, "get") and part.get("Type") == "/StructElem"
    }
    for row in elements.values():
        if row.get("S") != "/TR":
            continue
        cells = [elements[mark] for mark in row["K"] if mark in elements]
        scope = "/Row" if any(cell["S"] == "/TD" for cell in cells) else "/Column"
        for cell in cells:
            if cell["S"] == "/TH":
                cell["A"]["Scope"] = scope


def _laid_out(template: str, context: Mapping[str, object]) -> Any:
    # The renderer takes a second to import: only printing pays for it.
    from weasyprint import HTML  # noqa: PLC0415
    from weasyprint.text.fonts import FontConfiguration  # noqa: PLC0415

    html = html_of(template, context)
    document = HTML(string=html, base_url=f"{STATIC.as_uri()}/css/", url_fetcher=_fetcher())
    return document.render(font_config=FontConfiguration(), pdf_variant="pdf/ua-1")


def html_of(template: str, context: Mapping[str, object]) -> str:
    """Give the document as HTML, before it is printed."""
    return _environment().get_template(f"documents/{template}").render(context)


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals.update(same=str, is_english=lambda _text: True)
    environment.filters.update(
        money=show.format_money,
        day=_day,
        drawing=_drawing,
        blocks=blocks,
        printed_source=_source,
    )
    return environment


def _source(wording: Wording, say: Callable[[str], str] = str) -> str:
    """Give the source of a wording, its caution in the reader's language."""
    text = printed_source(wording)
    return f"{text.removesuffix(CAUTION)}{say(CAUTION)}" if text.endswith(CAUTION) else text


def _day(value: Any) -> str:
    """Write a date as people say it, the same in every locale: Tue 4 Aug 2026."""
    return f"{value:%a} {value.day} {value:%b %Y}"


def _fetcher() -> Any:
    """Give a fetcher that opens our own style sheets and fonts, and nothing else."""
    from weasyprint.urls import URLFetcher  # noqa: PLC0415

    class OwnAssets(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            if not url.startswith("data:image/"):
                parts = urlsplit(url)
                path = STATIC.joinpath(unquote(parts.path)).resolve()
                if parts.scheme != "file" or not path.is_relative_to(STATIC):
                    raise OutsideAsset(url)
            return super().fetch(url, headers)

    return OwnAssets()


def _drawing(svg: str) -> Markup:
    """Give a drawing whose ids are its own, so that two on one document keep their own hatches."""
    mark = sha256(svg.encode()).hexdigest()[:8]
    own = svg.replace('id="hatch-', f'id="h{mark}-').replace("url(#hatch-", f"url(#h{mark}-")
    return Markup(own)  # noqa: S704 - made by the drawings room
