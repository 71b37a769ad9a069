"""What is wrong with a job file: every fault with its place, what stands there, and what would do."""

from app.measure.errors import InputError

__all__ = ["InputError", "InputErrors", "path_text"]


class InputErrors(ValueError):
    """All faults found in one reading, part by part of the file.

    Attributes
    ----------
    errors : tuple of InputError
    """

    def __init__(self, errors: tuple[InputError, ...]) -> None:
        super().__init__("\n".join(str(error) for error in errors))
        self.errors = errors


def path_text(place: tuple[str | int, ...]) -> str:
    """Write a place in the job file.

    Parameters
    ----------
    place : tuple of str or int
        Keys and numbers in lists, from the top.

    Returns
    -------
    path : str
        Such as ``survey.outline[3]``.

    Examples
    --------
    >>> path_text(("plan", "deck_fields", 0, "sleeper_spacing"))
    'plan.deck_fields[0].sleeper_spacing'

    References
    ----------
    Definition.
    """
    text = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in place)
    return text.removeprefix(".")
