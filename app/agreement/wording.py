"""The shop's wording: read from text, told apart into paragraphs and lists, and checked for gaps."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from app.agreement.records import Party, Wording
from app.measure.errors import InputError

# What every proposal prints; a shop may add more.
NEEDED: tuple[str, ...] = ("inclusions", "exclusions", "terms", "cautions", "cancellation", "consent")
CAUTION = "check local law"
SOURCE_MARK = "source:"
ITEM_MARK = "- "
FIRM_KEYS = ("name", "address", "phone", "email", "registration")


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of wording to be set.

    Attributes
    ----------
    kind : str
        ``paragraph`` or ``list``.
    lines : tuple of str
        One for a paragraph, one for each point of a list.
    """

    kind: Literal["paragraph", "list"]
    lines: tuple[str, ...]


def read_wording(code: str, text: str) -> Wording:
    """Give one wording from its file.

    Parameters
    ----------
    code : str
        Its name: ``terms``.
    text : str
        A first line ``# Title``, a line ``source: …``, then the words.

    Returns
    -------
    wording : Wording
        Text without title and source.

    Raises
    ------
    InputError
        If title, source or words are missing.

    Examples
    --------
    >>> read_wording("terms", "# Terms\\nsource: invented\\n\\nPay in time.").text
    'Pay in time.'

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    lines = text.strip().splitlines()
    if not lines or not lines[0].startswith("# ") or not lines[0][2:].strip():
        raise InputError(
            f"wording.{code}",
            lines[0] if lines else "",
            "The first line must be the title, such as “# Terms”.",
        )
    if (
        len(lines) < 2
        or not lines[1].startswith(SOURCE_MARK)
        or not lines[1].removeprefix(SOURCE_MARK).strip()
    ):
        raise InputError(
            f"wording.{code}",
            lines[1] if len(lines) > 1 else "",
            "The second line must say where the wording comes from, such as “source: counsel, 2026-05-01”.",
        )
    words = "\n".join(lines[2:]).strip()
    if not words:
        raise InputError(f"wording.{code}", "", "There are no words below the source.")
    return Wording(
        code=code,
        title=lines[0].removeprefix("# ").strip(),
        text=words,
        source=lines[1].removeprefix(SOURCE_MARK).strip(),
    )


def read_firm(document: object) -> Party:
    """Give the firm's details from their file.

    Parameters
    ----------
    document : object
        The file as read: an object with the key ``firm``.

    Returns
    -------
    firm : Party
        As printed.

    Raises
    ------
    InputError
        If name or address is missing, or a key is not known.

    References
    ----------
    Definition of the file, in the demo shop's read-me.
    """
    firm = document.get("firm") if isinstance(document, Mapping) else None
    if not isinstance(firm, Mapping):
        raise InputError("firm", firm, f"Give an object with the keys {', '.join(FIRM_KEYS)}.")
    for key, value in firm.items():
        if key not in FIRM_KEYS:
            raise InputError(f"firm.{key}", value, f"There is no such key; known are {', '.join(FIRM_KEYS)}.")
        if not isinstance(value, str):
            raise InputError(f"firm.{key}", value, "Give a text.")
    for key in ("name", "address"):
        if not str(firm.get(key, "")).strip():
            raise InputError(f"firm.{key}", "", "Nothing stands here; a proposal prints it.")
    return Party(**{key: str(firm.get(key, "")).strip() for key in FIRM_KEYS})


def blocks(text: str) -> tuple[Block, ...]:
    """Tell the words apart into paragraphs and lists.

    Parameters
    ----------
    text : str
        Paragraphs parted by blank lines; lines that start with "- " are points of a list.

    Returns
    -------
    blocks : tuple of Block
        In order.

    Examples
    --------
    >>> [block.kind for block in blocks("We build:\\n- decks\\n- walls\\n\\nThat is all.")]
    ['paragraph', 'list', 'paragraph']

    References
    ----------
    Definition.
    """
    found: list[tuple[Literal["paragraph", "list"], list[str]]] = []
    is_open = False
    for raw in text.splitlines():
        line = raw.strip()
        kind: Literal["paragraph", "list"] = "list" if line.startswith(ITEM_MARK) else "paragraph"
        if not line:
            is_open = False
            continue
        if not (is_open and found[-1][0] == kind):
            found.append((kind, []))
        found[-1][1].append(line.removeprefix(ITEM_MARK).strip())
        is_open = True
    return tuple(Block(kind, tuple(lines) if kind == "list" else (" ".join(lines),)) for kind, lines in found)


def gaps(wordings: Iterable[Wording]) -> tuple[str, ...]:
    """Say which wordings a proposal lacks.

    Parameters
    ----------
    wordings : iterable of Wording
        The shop's.

    Returns
    -------
    gaps : tuple of str
        Codes that are missing or empty.

    References
    ----------
    Definition.
    """
    present = {wording.code for wording in wordings if wording.text.strip()}
    return tuple(code for code in NEEDED if code not in present)


def printed_source(wording: Wording) -> str:
    """Give the source of a wording as printed beneath it.

    Parameters
    ----------
    wording : Wording
        One of the shop's.

    Returns
    -------
    source : str
        Always with the words "check local law".

    References
    ----------
    Definition.
    """
    if CAUTION in wording.source:
        return wording.source
    return f"{wording.source}; {CAUTION}" if wording.source else CAUTION
