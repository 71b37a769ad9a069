"""Reading one field of the price files: what stands there, or an input error that says what would do."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation

from app.job.errors import InputError, InputErrors

MISSING = object()


class FieldReader:
    """Reads the fields of one row or object, and keeps every fault it meets.

    Attributes
    ----------
    path : str
        Where the row stands, as the person sees it: ``row 3``, ``assemblies[2]``.
    faults : list of InputError
        Shared by all the readers of one file, so that every fault is told at once.
    """

    def __init__(self, row: object, path: str, faults: list[InputError], known: Sequence[str]) -> None:
        self.path = path
        self.faults = faults
        self._row: Mapping[str, object] = {}
        if not isinstance(row, Mapping):
            self.fault("", row, "an object with the keys " + ", ".join(known))
            return
        self._row = row
        for key in row:
            if key not in known:
                self.fault(str(key), row[key], "no such column: known are " + ", ".join(known))

    def fault(self, key: str, value: object, wanted: str) -> None:
        """Note what is wrong with one field."""
        where = f"{self.path}.{key}" if key else self.path
        said = "nothing stands here" if value in ("", None) else f"{str(value)[:60]!r} will not do"
        self.faults.append(InputError(where, value, f"{said}; give {wanted}."))

    def text(self, key: str, otherwise: str | None = None) -> str:
        """Give a text; without `otherwise` it must not be empty."""
        value = self._row.get(key, MISSING)
        if value is MISSING or value in (None, ""):
            if otherwise is not None:
                return otherwise
            self.fault(key, "", "a text")
            return ""
        if not isinstance(value, str):
            self.fault(key, value, "a text")
            return ""
        return value.strip()

    def one_of(self, key: str, choices: Sequence[str]) -> str:
        """Give one of a few words."""
        value = self.text(key, "")
        if value not in choices:
            self.fault(key, value, "one of " + ", ".join(choices))
            return choices[0]
        return value

    def amount(self, key: str, otherwise: str | None = None, above: int | None = None) -> Decimal:
        """Give an exact amount that is not negative, and greater than `above` where given."""
        value = self._row.get(key, MISSING)
        if value in (MISSING, None, ""):
            if otherwise is not None:
                return Decimal(otherwise)
            self.fault(key, "", "a number")
            return Decimal(1)
        number = _decimal(value)
        least = "a number of at least 0" if above is None else f"a number greater than {above}"
        if number is None or number < 0 or (above is not None and number <= above):
            self.fault(key, value, f"{least}, such as 12.50")
            return Decimal(1)
        return number

    def count(self, key: str, otherwise: int | None = None, least: int = 0) -> int:
        """Give a whole number of at least `least`."""
        value = self._row.get(key, MISSING)
        if value in (MISSING, None, "") and otherwise is not None:
            return otherwise
        number = _decimal(value)
        if number is None or number != number.to_integral_value() or number < least:
            shown = "" if value is MISSING else value
            self.fault(key, shown, f"a whole number of at least {least}")
            return least
        return int(number)

    def day(self, key: str) -> date:
        """Give a day."""
        value = self._row.get(key, MISSING)
        if isinstance(value, str):
            try:
                return date.fromisoformat(value.strip())
            except ValueError:
                pass
        self.fault(key, "" if value is MISSING else value, "a day written as 2026-05-01")
        return date(1, 1, 1)

    def items(self, key: str) -> Sequence[object]:
        """Give a list."""
        value = self._row.get(key, MISSING)
        if isinstance(value, list | tuple):
            return value
        self.fault(key, "" if value is MISSING else value, "a list")
        return ()

    def inner(self, key: str) -> object:
        """Give whatever stands there, for a reader of its own."""
        return self._row.get(key)


def raise_all(faults: Sequence[InputError]) -> None:
    """Raise all the faults of a file at once, if there are any.

    Parameters
    ----------
    faults : sequence of InputError
        As they were met.

    Raises
    ------
    InputErrors
        If there is one.

    References
    ----------
    Definition.
    """
    if faults:
        raise InputErrors(tuple(faults))


def _decimal(value: object) -> Decimal | None:
    """Give a finite number written as text or number, or nothing."""
    if isinstance(value, bool) or not isinstance(value, str | int | float | Decimal):
        return None
    try:
        number = Decimal(str(value).strip())
    except InvalidOperation:
        return None
    return number if number.is_finite() else None
