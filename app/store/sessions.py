"""The session that repositories take, by a name that actions may use."""

from sqlalchemy.orm import Session

__all__ = ["Session"]
