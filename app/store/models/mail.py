"""The firm's own mail: how to reach its server, and what was sent."""

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Integer, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from app.store.models.base import Base, Instant, append_only


class MailRow(Base):
    """The one mail server; its password stands in the environment, never here."""

    __tablename__ = "mail"
    __table_args__ = (CheckConstraint("id = 1", name="one_row"),)

    id: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False, default=1)
    host: Mapped[str] = mapped_column(String(253))
    port: Mapped[int]
    security: Mapped[str] = mapped_column(String(10))
    user: Mapped[str] = mapped_column(String(254))
    sender: Mapped[str] = mapped_column(String(254))


@append_only
class LetterRow(Base):
    """One letter that was sent, or could not be."""

    __tablename__ = "letters"

    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"), index=True)
    at: Mapped[datetime] = mapped_column(Instant)
    sent_to: Mapped[str] = mapped_column(String(254))
    subject: Mapped[str] = mapped_column(String(200))
    fault: Mapped[str] = mapped_column(Text)  # empty: the server took it
