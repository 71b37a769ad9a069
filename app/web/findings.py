"""Findings and input faults, in the words and order that pages show."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.job.findings import Finding
from app.job.record import key_in_job_file
from app.web.forms.read import steps


@dataclass(frozen=True, slots=True)
class Fault:
    """One line of the error summary: the words, and the field they lead to (empty: none on this page)."""

    text: str
    field_id: str = ""


def of_rooms(findings: Iterable[Finding], *rooms: str) -> tuple[Finding, ...]:
    """The findings of some rooms only, told by the first part of their code."""
    return tuple(finding for finding in findings if finding.code.partition(".")[0] in rooms)


def count_words(findings: tuple[Finding, ...]) -> str:
    """How many of each grade: 1 stop, 2 checks, 3 notes."""
    words = []
    for grade in ("stop", "check", "note"):
        many = sum(finding.grade == grade for finding in findings)
        words.append(f"{many} {grade}{'' if many == 1 else 's'}")
    return ", ".join(words)


def form_path(path: str) -> str:
    """A path as the forms write it: list places in brackets, keys without their unit."""
    words = ""
    for step in steps(path):
        if isinstance(step, int) or step.isdigit():
            words += f"[{step}]"
        else:
            words += ("." if words else "") + key_in_job_file(step)
    return words
