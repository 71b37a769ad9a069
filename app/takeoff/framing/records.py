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
    role: Literal["sleeper", "breaker sleeper", "rim", "blocking", "trimmer", "doubling", "furring", "frame"]
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
        From the membrane to the underside of the timber on it: pad, packers and shims together. [mm]
    shims : int
        Shims on top of the pad, rounded to the step sold.
    packers : tuple of str
        Items of the packers between pad and shims.
    is_doubled : bool
        Whether a second sleeper lies on it under the first, so that the pad is lower by its depth.
    pedestal : str
        Id of the pedestal that stands here in place of the pad; empty for a pad.
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
    is_doubled: bool = False
    pedestal: str = ""


@dataclass(frozen=True, slots=True)
class PadBand:
    """Pads made up alike, as the yard packs them and the crew sets them.

    Attributes
    ----------
    mark : str
        Letter by which the frame drawing names them: ``A`` is the lowest of the first pad.
    pad : str
        Id of the pad in the choices.
    packers : tuple of str
        Items of the packers on each, tallest first.
    shims : int
        Shims on each.
    least_mm, greatest_mm : float
        Lowest and tallest in the band. [mm]
    pads : int
        How many.
    ids : tuple of str
        Which they are, as on the drawing.
    pedestal : str
        Id of the pedestal in their place; empty for pads.
    """

    mark: str
    pad: str
    packers: tuple[str, ...]
    shims: int
    least_mm: float
    greatest_mm: float
    pads: int
    ids: tuple[str, ...]
    pedestal: str = ""


@dataclass(frozen=True, slots=True)
class TallPads:
    """Pads of one field that would be taller than the plan allows, and what could stand there instead.

    Attributes
    ----------
    field : str
        Deck field.
    pads : tuple of str
        Ids of the pads.
    tallest_mm : float
        Height of the tallest. [mm]
    doubled : tuple of str
        Those that a second sleeper under the first brings within the height allowed.
    doubling_mm : float
        Length of timber that takes. [mm]
    is_doubled : bool
        Whether the plan asks for it: the timber is then among the sticks.
    pedestals : tuple of str
        Those that stay too tall even so: supports of another kind, as many as there are ids.
    least_pedestal_mm, greatest_pedestal_mm : float
        Heights those must reach with the sleepers single; 0 without any. [mm]
    on_pedestals : tuple of str
        Those that stand on pedestals of the choices, because the plan asks for it.
    """

    field: str
    pads: tuple[str, ...]
    tallest_mm: float
    doubled: tuple[str, ...]
    doubling_mm: float
    is_doubled: bool
    pedestals: tuple[str, ...]
    least_pedestal_mm: float
    greatest_pedestal_mm: float
    on_pedestals: tuple[str, ...] = ()


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
    reaction_kn : float
        Greatest force of one pad on the roof. [kN]
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
    reaction_kn: float = 0.0


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
    pad_schedule : tuple of PadBand
        All pads, grouped by what they are made up of, lowest first.
    tall_pads : tuple of TallPads
        Fields with pads taller than the plan allows.
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
    pad_schedule: tuple[PadBand, ...] = ()
    tall_pads: tuple[TallPads, ...] = ()
