"""Pages held against the content models and attributes of the HTML Standard, as far as ours use them.

Source: HTML Standard (WHATWG), sections 3.2.5 (content models), 4 (the elements), 16.2 (non-conforming
features); WAI-ARIA 1.2 (roles, states); WCAG 2.2 technique G141 (headings in order). The parser's own faults
are html5lib's to find. What this does not know is a fault, so that it cannot pass unseen.
"""

from collections import Counter
from collections.abc import Iterator
from typing import Any

import html5lib

from tests.web import html_words as words

Node = Any  # an element of html5lib's etree; its stubs call everything Any


def page_faults(text: str) -> list[str]:
    """Parse a page strictly, as it was sent, and give what is wrong with its content."""
    strict = html5lib.HTMLParser(html5lib.treebuilders.getTreeBuilder("etree"), True, False)
    return model_faults(strict.parse(text))


def model_faults(tree: Node) -> list[str]:
    """Give what is wrong with a page, parsed without namespaces; a sentence each."""
    nodes = list(_walk(tree, ()))
    return [
        *(fault for node, above in nodes for fault in _faults_of(node, above)),
        *_ids(nodes),
        *_headings(nodes),
        *_once(nodes),
    ]


def _walk(node: Node, above: tuple[Node, ...]) -> Iterator[tuple[Node, tuple[Node, ...]]]:
    """Give every element of HTML with those it lies in; drawings are SVG's own and are passed over."""
    if not isinstance(node.tag, str):  # a comment
        return
    yield node, above
    if node.tag != words.SVG:
        for child in node:
            yield from _walk(child, (*above, node))


def _faults_of(node: Node, above: tuple[Node, ...]) -> Iterator[str]:
    tag = node.tag
    if tag not in words.ATTRIBUTES and tag not in words.PLAIN:
        yield f"{tag} is no element that a page of ours may use"
        return
    yield from _place(node, above)
    yield from _children(node)
    yield from _nested(node, above)
    if tag != words.SVG:
        yield from _attributes(node)
        yield from _kind(node)


def _place(node: Node, above: tuple[Node, ...]) -> Iterator[str]:
    """Whether it may stand where it does."""
    tag, parent = node.tag, above[-1].tag if above else ""
    if tag in words.PARENTS and parent not in words.PARENTS[tag]:
        yield f"{tag} stands in {parent}"
    model = next((one.tag for one in reversed(above) if one.tag not in words.TRANSPARENT), "")
    if model in words.PHRASING_ONLY and tag not in words.PHRASING:
        allowed = words.ALSO.get(model, frozenset())
        if tag not in allowed:
            yield f"{tag} stands in {model}, which holds words alone"
    if parent == "div" and tag in ("dt", "dd") and (len(above) < 2 or above[-2].tag != "dl"):
        yield f"{tag} stands in a div of no dl"


def _children(node: Node) -> Iterator[str]:
    tag, children = node.tag, [child for child in node if isinstance(child.tag, str)]
    if tag in words.CHILDREN:
        for child in children:
            if child.tag not in words.CHILDREN[tag]:
                yield f"{tag} holds {child.tag}"
        texts = [node.text, *(child.tail for child in node)]
        if any((text or "").strip() for text in texts):
            yield f"{tag} holds words outside its parts"
    if tag == "details" and [child.tag for child in children[:1]] != ["summary"]:
        yield "details does not begin with its summary"
    for first in ("legend", "summary", "caption"):
        if any(child.tag == first for child in children[1:]):
            yield f"{first} is not the first in {tag}"
    if tag == "dl" and children and children[0].tag == "dd":
        yield "dl begins with a dd"
    if tag in ("dl", "div") and children and children[-1].tag == "dt":
        yield f"the last dt of {tag} has no dd"
    if tag == "figure" and any(child.tag == "figcaption" for child in children[1:-1]):
        yield "figcaption is neither first nor last in figure"


def _nested(node: Node, above: tuple[Node, ...]) -> Iterator[str]:
    """Whether what can be pressed lies in something that can be pressed."""
    tag = node.tag
    is_pressed = tag in words.INTERACTIVE and not (tag == "input" and node.get("type") == "hidden")
    is_pressed = is_pressed and not (tag == "a" and node.get("href") is None)
    for host in above:
        if host.tag in ("a", "button") and (is_pressed or node.get("tabindex") is not None):
            yield f"{tag} lies in {host.tag}"
        if host.tag in ("label", "form") and tag == host.tag:
            yield f"{tag} lies in {tag}"
    if tag == "label":
        held = [one for one in node.iter() if one.tag in words.LABELABLE and one.get("type") != "hidden"]
        if len(held) > 1:
            yield "a label holds more than one field"
        if not held and node.get("for") is None:
            yield "a label names no field and holds none"
        if held and node.get("for") not in (None, held[0].get("id")):
            yield f"the label for {node.get('for')} holds another field"


def _attributes(node: Node) -> Iterator[str]:
    tag = node.tag
    known = words.ATTRIBUTES.get(tag, frozenset())
    for name, value in node.attrib.items():
        if name in known or name in words.GLOBAL or name.startswith("data-"):
            pass
        elif name.startswith("aria-"):
            if name[5:] not in words.ARIA:
                yield f"{name} on {tag} is no state of ARIA"
        else:
            yield f"{tag} has no attribute {name}"
        wanted = words.VALUES.get((tag, name)) or words.VALUES.get(("", name))
        if wanted is not None and value not in wanted:
            yield f'{name}="{value}" on {tag}: one of {", ".join(sorted(wanted))}'
    for name in words.NEEDED.get(tag, ()):
        if node.get(name) is None:
            yield f"{tag} lacks {name}"


def _kind(node: Node) -> Iterator[str]:
    """Whether a field carries only what its type may carry."""
    tag = node.tag
    if tag == "input":
        kind = node.get("type", "text")
        for name, kinds in words.OF_KIND.items():
            if node.get(name) is not None and kind not in kinds:
                yield f"{name} on an input of type {kind}"
    if tag == "select" and node.get("required") is not None and node.get("multiple") is None:
        first = next(iter(node.iter("option")), None)
        if first is not None and first.get("value", first.text or "") != "":
            yield "a required select does not begin with an empty choice"


def _ids(nodes: list[tuple[Node, tuple[Node, ...]]]) -> Iterator[str]:
    """Marks stand once, and whatever names one finds it, of the kind it must be."""
    by_id: dict[str, Node] = {}
    seen: Counter[str] = Counter()
    for node, _ in nodes:
        for inner in node.iter() if node.tag == words.SVG else (node,):
            mark = inner.get("id")
            if mark is not None:
                seen[mark] += 1
                by_id[mark] = inner
    for mark, many in seen.items():
        if many > 1:
            yield f"the id {mark} stands {many} times"
        if not mark or any(letter.isspace() for letter in mark):
            yield f"the id “{mark}” is empty or holds a space"
    for node, _ in nodes:
        for name, tags in words.POINTS.items():
            for mark in (node.get(name) or "").split():
                if mark not in by_id:
                    yield f"{name} of {node.tag} names {mark}, which is not there"
                elif tags and by_id[mark].tag not in tags:
                    yield f"{name} of {node.tag} names {mark}, which is a {by_id[mark].tag}"
        href = node.get("href") or ""
        if node.tag == "a" and len(href) > 1 and href[0] == "#" and href[1:] not in by_id:
            yield f"a link to {href} leads nowhere"


def _headings(nodes: list[tuple[Node, tuple[Node, ...]]]) -> Iterator[str]:
    """No level of heading is passed over on the way down; faults are told above the title, as an h2."""
    before = 1
    for node, _ in nodes:
        if node.tag in words.HEADINGS:
            level = int(node.tag[1])
            if level > before + 1:
                yield f"h{level} “{''.join(node.itertext()).strip()[:40]}” follows h{before}"
            if not "".join(node.itertext()).strip():
                yield f"an empty h{level}"
            before = level


def _once(nodes: list[tuple[Node, tuple[Node, ...]]]) -> Iterator[str]:
    tags = Counter(
        node.tag for node, above in nodes if not any(one.get("hidden") is not None for one in above)
    )
    for tag in ("title", "main", "h1"):
        if tags[tag] != 1:
            yield f"{tags[tag]} {tag} on the page"
