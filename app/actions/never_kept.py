"""Texts in which a number stands that is never kept."""

from app.actions.errors import Refused
from app.agreement.kept_out import number_kept_out


def refuse_numbers(*texts: str) -> None:
    """Refuse texts in which a card or social security number stands; nothing of them is kept."""
    for text in texts:
        kind = number_kept_out(text)
        if kind:
            raise Refused(
                f"There is a {kind} in what you typed. Such numbers are never asked for and never kept here: "
                "take it out and send it once more."
            )
