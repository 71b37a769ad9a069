"""axe-core on a page: WCAG 2.2 A and AA, told in one line per fault."""

from pathlib import Path

from playwright.sync_api import Page

SCRIPT = Path(__file__).parent / "vendor" / "axe-core-4.14.1.min.js"
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


def faults(page: Page, *rules: str) -> list[str]:
    """Give every violation on the page as it stands, of all rules or of those named."""
    # Evaluated, not added as a script element: the pages' own policy forbids foreign scripts, rightly.
    page.evaluate(SCRIPT.read_text(encoding="utf-8"))
    only = {"runOnly": list(rules)} if rules else RULES
    answer = page.evaluate("rules => axe.run(document, rules)", only)
    return [
        f"{page.url} {fault['id']}: {fault['help']} at {node['target']}"
        for fault in answer["violations"]
        for node in fault["nodes"]
    ]


def overflow_px(page: Page) -> int:
    """Give how far the page is wider than its window."""
    wide: int = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    return wide
