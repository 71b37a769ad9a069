"""A photometric file (LM-63): read from its text, with the line and the fault when it cannot be."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from app.measure.errors import InputError

MOST_ANGLES = 1000
MOST_LABEL_LINES = 1000
LONGEST_NUMBER = 40
_HEADS = {
    "IESNA91": "1991",
    "IESNA:LM-63-1995": "1995",
    "IESNA:LM-63-2002": "2002",
    "IES:LM-63-2019": "2019",
}
_NEEDED_2019 = ("TEST", "TESTLAB", "ISSUEDATE", "MANUFAC")
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?")
_KEYWORD = re.compile(r"\[([^\[\]]{1,80})\](.*)")
_TYPES = {1: "C", 2: "B", 3: "A"}


@dataclass(frozen=True, slots=True)
class Photometry:
    """What a photometric file says.

    Attributes
    ----------
    edition : str
        ``1986``, ``1991``, ``1995``, ``2002`` or ``2019``.
    keywords : tuple of (str, str)
        In the order of the file; continued lines joined.
    kind : str
        ``C``, ``B`` or ``A``.
    lamp_lm : float
        Of one lamp as printed; −1 for an absolute file. [lm]
    power_w : float
        Input power as printed. [W]
    vertical_deg, horizontal_deg : tuple of float
        Rising; vertical 0 is straight below a lamp that hangs level. [deg]
    candela : tuple of tuple of float
        Intensity, one row for each horizontal angle; every factor of the file is in it.
    remarks : tuple of str
        What the edition asks for and the file does not give.
    """

    edition: str
    keywords: tuple[tuple[str, str], ...]
    kind: str
    lamp_lm: float
    power_w: float
    vertical_deg: tuple[float, ...]
    horizontal_deg: tuple[float, ...]
    candela: tuple[tuple[float, ...], ...]
    remarks: tuple[str, ...] = ()


class _Numbers:
    """The numbers of the file one after the other, each known by its line."""

    def __init__(self, lines: list[str], after: int) -> None:
        self.line = after
        self._words = self._walk(lines, after)

    def _walk(self, lines: list[str], after: int) -> Iterator[str]:
        for number in range(after, len(lines)):
            self.line = number + 1
            yield from lines[number].replace(",", " ").split()

    def number(self, what: str) -> float:
        """Give the next number."""
        word = next(self._words, None)
        if word is None:
            raise _fault(self.line, f"the file ends before {what}")
        if len(word) > LONGEST_NUMBER or not _NUMBER.fullmatch(word):
            raise _fault(self.line, f"{what} is no number: {word[:LONGEST_NUMBER]}")
        value = float(word)
        if abs(value) > 1e9:
            raise _fault(self.line, f"{what} is out of all measure: {word}")
        return value

    def count(self, what: str, least: int, most: int) -> int:
        """Give the next number, a whole one within limits."""
        value = self.number(what)
        if value != int(value) or not least <= value <= most:
            raise _fault(self.line, f"{what} must be a whole number from {least} to {most}, not {value:g}")
        return int(value)

    def angles(self, what: str, count: int) -> tuple[float, ...]:
        """Give some angles, which must rise."""
        found = tuple(self.number(f"{what} angle {n + 1} of {count}") for n in range(count))
        for before, after in pairwise(found):
            if after <= before:
                raise _fault(self.line, f"{what} angles must rise; {after:g} follows {before:g}")
        return found

    def end(self) -> None:
        """Hold that nothing is left."""
        left = next(self._words, None)
        if left is not None:
            text = f"the file should end after the last intensity, but {left[:LONGEST_NUMBER]} follows"
            raise _fault(self.line, text)


def _fault(line: int, text: str) -> InputError:
    return InputError("", f"line {line}", f"Photometric file, line {line}: {text}.")


def _edition(lines: list[str]) -> tuple[str, int]:
    """Give the edition, and how many lines its head takes."""
    first = lines[0].strip() if lines else ""
    if first in _HEADS:
        return _HEADS[first], 1
    if first.upper().startswith("IES"):
        known = ", ".join(_HEADS)
        raise _fault(1, f"{first[:60]} is no edition known here; those are {known}")
    return "1986", 0


def _labels(lines: list[str], start: int, edition: str) -> tuple[list[tuple[str, str]], int]:
    """Give the keywords, and the place of the TILT line."""
    keywords: list[tuple[str, str]] = []
    for number in range(start, min(len(lines), start + MOST_LABEL_LINES)):
        text = lines[number].strip()
        if text.upper().startswith("TILT="):
            return keywords, number
        found = _KEYWORD.fullmatch(text)
        if found and found[1].strip().upper() == "MORE":
            if not keywords:
                raise _fault(number + 1, "[MORE] continues nothing")
            name, before = keywords[-1]
            keywords[-1] = (name, f"{before} {found[2].strip()}".strip())
        elif found:
            keywords.append((found[1].strip().upper(), found[2].strip()))
        elif text and edition != "1986":
            raise _fault(number + 1, f"a keyword in square brackets or TILT= is wanted, not {text[:60]}")
    raise _fault(max(1, min(len(lines), start + MOST_LABEL_LINES)), "there is no line TILT=")


def _after_tilt(lines: list[str], at: int) -> _Numbers:
    """Give the numbers after the tilt, which itself changes nothing for a fixed light."""
    tilt = lines[at].strip()[5:].strip()
    numbers = _Numbers(lines, at + 1)
    if tilt.upper() == "INCLUDE":
        numbers.count("the way the lamp lies", 1, 3)
        count = numbers.count("the count of tilt angles", 1, MOST_ANGLES)
        numbers.angles("tilt", count)
        for n in range(count):
            numbers.number(f"tilt factor {n + 1} of {count}")
    elif tilt.upper() != "NONE":
        raise _fault(at + 1, f"TILT={tilt[:40]} names another file; write NONE, or INCLUDE with its numbers")
    return numbers


def _held_angles(line: int, kind: str, vertical: tuple[float, ...], horizontal: tuple[float, ...]) -> None:
    """Hold the angles of type C against what the standard lets them span."""
    if kind != "C":
        text = f"the file is of type {kind}; only type C (number 1) can be placed on a plan"
        raise _fault(line, text)
    if vertical[0] not in (0.0, 90.0) or vertical[-1] not in (90.0, 180.0):
        text = f"vertical angles of type C run from 0 or 90 to 90 or 180, not {vertical[0]:g} to"
        raise _fault(line, f"{text} {vertical[-1]:g}")
    is_side = (horizontal[0], horizontal[-1]) == (90.0, 270.0)
    if not is_side and (horizontal[0] != 0.0 or horizontal[-1] not in (0.0, 90.0, 180.0, 360.0)):
        text = "horizontal angles of type C run from 0 to 0, 90, 180 or 360"
        raise _fault(line, f"{text}, not {horizontal[0]:g} to {horizontal[-1]:g}")


@lru_cache(maxsize=64)
def read_photometry(text: str) -> Photometry:
    """Give what a photometric file says.

    Parameters
    ----------
    text : str
        The whole file.

    Returns
    -------
    photometry : Photometry
        Of type C.

    Raises
    ------
    InputError
        With the line and what is wrong there.

    Notes
    -----
    Intensity = printed value × multiplier × ballast factor, and × the ballast-lamp factor up to the
    edition of 1995, where later ones print something else in its place. It is used as it stands: never
    multiplied by lamps or lumens.

    References
    ----------
    IES LM-63-2019 and LM-63-2002, from copies of the format; factors from memory.
    """
    lines = text.splitlines()
    edition, start = _edition(lines)
    keywords, at = _labels(lines, start, edition)
    numbers = _after_tilt(lines, at)
    numbers.count("the count of lamps", 1, 1000)
    lamp_lm = numbers.number("the lumens of a lamp")
    multiplier = numbers.number("the multiplier of the intensities")
    if multiplier <= 0:
        raise _fault(numbers.line, f"the multiplier of the intensities must be above 0, not {multiplier:g}")
    n_vertical = numbers.count("the count of vertical angles", 2, MOST_ANGLES)
    n_horizontal = numbers.count("the count of horizontal angles", 1, MOST_ANGLES)
    kind = _TYPES[numbers.count("the photometric type", 1, 3)]
    numbers.count("the unit (1 feet, 2 metres)", 1, 2)
    for what in ("width", "length", "height"):
        numbers.number(f"the {what} of the opening")
    factor = multiplier * numbers.number("the ballast factor")
    later = numbers.number("the ballast-lamp factor or kind of file")
    factor *= later if edition in ("1986", "1991", "1995") else 1.0
    power = numbers.number("the input power")
    vertical = numbers.angles("vertical", n_vertical)
    horizontal = numbers.angles("horizontal", n_horizontal)
    _held_angles(numbers.line, kind, vertical, horizontal)
    candela = tuple(_row(numbers, across, n_vertical, factor) for across in horizontal)
    numbers.end()
    names = {name for name, _ in keywords}
    lacking = [name for name in _NEEDED_2019 if edition == "2019" and name not in names]
    remarks = (f"the edition of 2019 asks for {', '.join(lacking)}",) if lacking else ()
    return Photometry(edition, tuple(keywords), kind, lamp_lm, power, vertical, horizontal, candela, remarks)


def _row(numbers: _Numbers, across_deg: float, count: int, factor: float) -> tuple[float, ...]:
    """Give the intensities in one half-plane."""
    found = []
    for n in range(count):
        value = numbers.number(f"intensity {n + 1} of {count} at horizontal {across_deg:g}")
        if value < 0 or factor < 0:
            raise _fault(numbers.line, f"an intensity cannot be below 0, as {value:g} at {across_deg:g} is")
        found.append(value * factor)
    return tuple(found)
