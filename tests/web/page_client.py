"""A browser's stand-in that checks every page it is given."""

import re
import warnings
from collections import Counter
from html.parser import HTMLParser
from typing import Any

import html5lib
from httpx import Response

from tests.web.content_model import page_faults

with warnings.catch_warnings():  # the test client announces another HTTP library; ours is pinned
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

_VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
_TOKEN = re.compile(r'name="form_token" value="([0-9a-f]{64})"')


class Page(HTMLParser):
    """A page taken apart, as far as the checks need."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.heading = self.title = ""
        self._open: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in _VOID:
            self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in self._open:
            while self._open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1] == "title" and "svg" not in self._open:
            self.title += data
        if "h1" in self._open:
            self.heading += data

    def every(self, *names: str) -> list[dict[str, str | None]]:
        return [attributes for tag, attributes in self.tags if tag in names]

    @property
    def token(self) -> str:
        found = _TOKEN.search(self.text)
        assert found, "no form on this page carries a token"
        return found[1]

    def links(self) -> list[str]:
        return [href for attributes in self.every("a") if (href := attributes.get("href"))]

    def fields(self, action: str) -> dict[str, Any]:
        """What a browser would send for the form with this action, without pressing a named button."""
        tree = html5lib.parse(self.text, treebuilder="etree", namespaceHTMLElements=False)
        form = next(form for form in tree.iter("form") if form.get("action") == action)
        sent: dict[str, Any] = {}
        for node in form.iter():
            name = node.get("name")
            if not name or node.tag == "button":
                continue
            if node.tag == "input" and node.get("type") in ("checkbox", "radio"):
                if node.get("checked") is not None:
                    sent.setdefault(name, []).append(node.get("value") or "on")
            elif node.tag == "input":
                sent[name] = node.get("value") or ""
            elif node.tag == "textarea":
                sent[name] = node.text or ""
            elif node.tag == "select":
                options = list(node.iter("option"))
                chosen = next(
                    (option for option in options if option.get("selected") is not None), options[0]
                )
                sent[name] = chosen.get("value") if chosen.get("value") is not None else (chosen.text or "")
        return sent


class PageClient:
    """Fetches pages and holds each against the house rules for pages."""

    def __init__(self, browser: TestClient) -> None:
        self.browser = browser

    def get(self, path: str, status: int = 200) -> Page:
        return self._checked(self.browser.get(path), status)

    def post(self, path: str, data: dict[str, Any], status: int = 200) -> Page:
        """Send a form as the browser would; after a save the page it leads to is checked."""
        return self._checked(self.browser.post(path, data=data), status)

    def send(self, page_path: str, action: str, status: int = 200, **values: Any) -> Page:
        """Open a page, fill in its form and send it."""
        return self.post(action, {**self.get(page_path).fields(action), **values}, status)

    def _checked(self, response: Response, status: int) -> Page:
        where = f"{response.request.method} {response.url}"
        assert response.status_code == status, f"{where}: {response.status_code}: {_words(response.text)}"
        page = Page(response.text)
        wrong = page_faults(response.text)
        assert not wrong, f"{where}: {wrong}"
        _one_heading(page, where)
        _ids_are_unique(page, where)
        _inputs_have_labels(page, where)
        _forms_are_whole(page, where)
        _nothing_inline(page, where)
        return page


def _words(text: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))[-500:]


def _one_heading(page: Page, where: str) -> None:
    assert len(page.every("h1")) == 1, f"{where}: not exactly one h1"
    heading = page.heading.strip()
    assert heading, f"{where}: the h1 is empty"
    assert page.title.removeprefix("Error: ").removeprefix("Erreur: ").startswith(heading), (
        f"{where}: the title does not start with it"
    )
    has_faults = any(attributes.get("id") == "summary" for attributes in page.every("div"))
    is_told = page.title.startswith(("Error: ", "Erreur: "))
    assert is_told >= has_faults, f"{where}: faults are not named in the title"


def _ids_are_unique(page: Page, where: str) -> None:
    ids = Counter(attributes["id"] for _, attributes in page.tags if "id" in attributes)
    assert not [name for name, many in ids.items() if many > 1], f"{where}: an id stands twice"
    for tag, attributes in page.tags:
        for key in ("for", "aria-labelledby", "aria-describedby"):
            for name in (attributes.get(key) or "").split():
                assert name in ids, f"{where}: {tag} points to {name}, which is not there"
        href = attributes.get("href") or ""
        if tag == "a" and href.startswith("#"):
            assert href[1:] in ids, f"{where}: a link to {href} leads nowhere"


def _inputs_have_labels(page: Page, where: str) -> None:
    named = {attributes.get("for") for attributes in page.every("label")}
    for tag, attributes in page.tags:
        if tag not in ("input", "select", "textarea") or attributes.get("type") == "hidden":
            continue
        has_label = attributes.get("id") in named or attributes.get("aria-label")
        assert has_label, f"{where}: {tag} {attributes.get('name')} has no label"


def _forms_are_whole(page: Page, where: str) -> None:
    forms = page.every("form")
    for attributes in forms:
        assert (attributes.get("action") or "").startswith("/"), f"{where}: a form without an action of ours"
    posting = sum(attributes.get("method") == "post" for attributes in forms)
    tokens = sum(attributes.get("name") == "form_token" for attributes in page.every("input"))
    assert posting == tokens, f"{where}: {posting} forms that post, {tokens} tokens"


def _nothing_inline(page: Page, where: str) -> None:
    assert not page.every("style"), f"{where}: a style element"
    for tag, attributes in page.tags:
        assert "style" not in attributes, f"{where}: inline style on {tag}"
        assert not [key for key in attributes if key.startswith("on")], f"{where}: inline handler on {tag}"
        if tag == "script":
            assert (attributes.get("src") or "").startswith("/static/"), f"{where}: a script of no file"
        for key in ("src", "href"):
            assert not (attributes.get(key) or "").startswith(("http:", "https:", "//", "javascript:")), where
