"""What the framing room gives: every stick and every pad beneath the boards."""

from dataclasses import dataclass
from typing import Literal

from app.job.findings import Assumption, Finding


@dataclass(frozen=True, slots=True)
class Stick:
    """One piece of timber under a deck, or a furring strip or frame member.

    Attributes
    ----------
    id : str
        Unique in the job: ``D1-S07``.
    place : str
        Deck field, wall or box it belongs to.
    section : str
        Id of the section in the choices.
    role : str
        What it does.
    start_mm, end_mm : tuple of float
        Centre line on plan (walls: in elevation). [mm]
    length_mm : float
        Length to cut. [mm]
    """

    id: str
    place: str
    section: str
    role: Literal["sleeper", "breaker sleeper", "rim", "blocking", "trimmer", "furring", "frame"]
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    length_mm: float


@dataclass(frozen=True, slots=True)
class PadSpot:
    """One pad under one stick.

    Attributes
    ----------
    id : str
        Unique in the job: ``D1-P032``.
    place : str
        Deck field.
    stick : str
        Stick it carries.
    pad : str
        Id of the pad in the choices.
    x_mm, y_mm : float
        Centre on plan. [mm]
    roof_mm : float
        Height of the membrane there, above datum. [mm]
    height_mm : float
        From the membrane to the underside of the stick: pad and shims together. [mm]
    shims : int
        Shims on top of the pad, rounded to the step sold.
    packers : tuple of str
        Items of the packers between pad and shims.
    """

    id: str
    place: str
    stick: str
    pad: str
    x_mm: float
    y_mm: float
    roof_mm: float
    height_mm: float
    shims: int
    packers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SpanCheck:
    """The screening of one field's sleepers between pads. It warns; it never certifies.

    Attributes
    ----------
    field : str
        Deck field.
    span_mm : float
        Pad spacing used. [mm]
    allowed_mm : float
        Longest spacing the screening accepts. [mm]
    governs : str
        ``bending``, ``shear``, ``deflection``, ``pad`` or ``insulation``.
    bending_mpa, bending_limit_mpa : float
        Stress and adjusted design value. [MPa]
    deflection_mm, deflection_limit_mm : float
        Live-load deflection and limit. [mm]
    pad_kpa, pad_limit_kpa : float
        Pressure on the true contact area and the pad's long-term limit. [kPa]
    """

    field: str
    span_mm: float
    allowed_mm: float
    governs: Literal["bending", "shear", "deflection", "pad", "insulation"]
    bending_mpa: float
    bending_limit_mpa: float
    deflection_mm: float
    deflection_limit_mm: float
    pad_kpa: float
    pad_limit_kpa: float


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where a visible piece crosses a stick, so that it is fixed there.

    Attributes
    ----------
    piece, stick : str
        Their ids.
    x_mm, y_mm : float
        Middle of the crossing on plan (walls: in elevation). [mm]
    """

    piece: str
    stick: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Framing:
    """Everything that carries.

    Attributes
    ----------
    sticks : tuple of Stick
        Deck frame, wall furring and box frames.
    pads : tuple of PadSpot
    crossings : tuple of Crossing
    span_checks : tuple of SpanCheck
    tape_mm : tuple of (str, float)
        Joist tape by deck field: field id and length. [mm]
    connectors : tuple of (str, int)
        Frame connectors by deck field.
    access_panels : tuple of (str, str)
        Lift-out panels: drain id and deck field id.
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    sticks: tuple[Stick, ...]
    pads: tuple[PadSpot, ...]
    crossings: tuple[Crossing, ...]
    span_checks: tuple[SpanCheck, ...]
    tape_mm: tuple[tuple[str, float], ...]
    connectors: tuple[tuple[str, int], ...]
    access_panels: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
