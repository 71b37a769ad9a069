"""Reads the published tables of ``shared/reference``, once each; the only room that opens files."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

Status = Literal["read", "secondary", "computed", "memory"]

_FOLDER = Path(__file__).resolve().parents[2] / "shared" / "reference"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a published value comes from, and how far it can be trusted.

    Attributes
    ----------
    name : str
        Standard or publication.
    edition : str
        Its edition; values move between editions.
    table : str
        Table or section.
    status : str
        ``read``: seen in the standard or its publisher's own page; ``secondary``: seen in a page that
        reprints it; ``computed``: worked out here; ``memory``: not seen, re-read before relying on it.
    note : str
        What else is known about it.
    """

    name: str
    edition: str
    table: str
    status: Status
    note: str = ""

    def __str__(self) -> str:
        """Give the source in one line, as findings print it."""
        told = {"read": "", "secondary": " (secondary page)", "computed": " (computed)"}
        return f"{self.name} {self.edition}, {self.table}{told.get(self.status, ' (from memory)')}"


def source_from(row: Mapping[str, str]) -> Source:
    """Give a source record from its row in a reference file.

    Parameters
    ----------
    row : mapping of str to str
        Keys ``name``, ``edition``, ``table``, ``status`` and, if there is more to say, ``note``.

    Returns
    -------
    source : Source

    Raises
    ------
    ValueError
        When the status is not one of the four.

    Examples
    --------
    >>> str(source_from({"name": "NDS", "edition": "2018", "table": "Table 4A", "status": "memory"}))
    'NDS 2018, Table 4A (from memory)'

    References
    ----------
    Definition.
    """
    status = row["status"]
    if status not in ("read", "secondary", "computed", "memory"):
        raise ValueError(f"status {status!r} of {row['name']}: read, secondary, computed or memory")
    return Source(
        name=row["name"],
        edition=row["edition"],
        table=row["table"],
        status=status,  # type: ignore[arg-type]
        note=row.get("note", ""),
    )


@cache
def reference(name: str) -> Mapping[str, Any]:
    """Give one reference file, read on first use and kept.

    Parameters
    ----------
    name : str
        File name without its ending: ``conductors``.

    Returns
    -------
    content : mapping
        As it stands in the file; not to be changed.

    Examples
    --------
    >>> reference("conductors")["rows"][0]["size"]
    '18 AWG'

    References
    ----------
    Definition.
    """
    content: Mapping[str, Any] = json.loads((_FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return content
