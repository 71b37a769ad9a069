"""What the layout room gives: every visible piece, where it lies and how it is cut."""

from dataclasses import dataclass
from typing import Literal

from app.job.findings import Assumption, Finding

Ring = tuple[tuple[float, float], ...]
Role = Literal[
    "course",
    "border",
    "breaker",
    "cladding",
    "cap",
    "seat",
    "top",
    "edge",
    "floor",
    "batten",
    "tread",
    "riser",
    "fascia",
]


@dataclass(frozen=True, slots=True)
class Piece:
    """One visible piece, cut from one profile.

    Attributes
    ----------
    id : str
        Unique in the job, starts with the place: ``D1-014``; drawn, listed and cut under this id.
    place : str
        Id of the deck field, wall, planter, bench or counter it belongs to.
    profile : str
        Id of the board in the choices.
    role : str
        What it does there.
    length_mm : float
        Longest-point length to buy. [mm]
    width_mm : float
        Width after ripping; the profile's own width when not ripped. [mm]
    is_ripped : bool
        Whether it is narrower than its profile.
    is_mitred : bool
        Whether an end is cut at an angle.
    plane : str
        ``plan`` or the id of the wall or face whose elevation it lies in.
    outline_mm : tuple of corner
        Its outline in that plane; on plan in job coordinates. [mm]
    """

    id: str
    place: str
    profile: str
    role: Role
    length_mm: float
    width_mm: float
    is_ripped: bool
    is_mitred: bool
    plane: str
    outline_mm: Ring


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line on plan.

    Attributes
    ----------
    start_mm, end_mm : tuple of float
        Its ends. [mm]
    """

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class FieldLayout:
    """How one deck field is boarded.

    Attributes
    ----------
    field : str
        Id of the deck field.
    angle_deg : float
        Direction of the courses. [deg]
    inner_mm : tuple of ring
        The area inside the border that the courses fill; first ring outer, the others holes, per
        part: a tuple of parts, each a tuple of rings. [mm]
    outer_mm : tuple of ring
        The whole field less keep-clear areas, likewise. [mm]
    breaker_lines : tuple of Line
        Centre lines of the breaker boards, across the courses. [mm]
    end_gap_mm : float
        Gap at each board end at the fitting temperature. [mm]
    side_gap_mm : float
        Gap between courses; the shim to use. [mm]
    run_mm : float
        Longest uninterrupted run. [mm]
    area_m2 : float
        Net area of the field. [m2]
    boards_m2 : float
        Area covered by pieces. [m2]
    least_rip_mm : float
        Narrowest piece along the courses. [mm]
    joint_lines : tuple of Line
        Lines across the courses on which board ends meet without a breaker board. [mm]
    notches : int
        Pieces cut round something: a vent, a post, a corner of the outline.
    end_shim_mm, side_shim_mm : float
        Shims to set board ends and courses apart with on the day of fitting. [mm]
    fascia_mm, fascia_high_mm : float
        Fascia under its open edges: length and tallest height. [mm]
    """

    field: str
    angle_deg: float
    inner_mm: tuple[tuple[Ring, ...], ...]
    outer_mm: tuple[tuple[Ring, ...], ...]
    breaker_lines: tuple[Line, ...]
    end_gap_mm: float
    side_gap_mm: float
    run_mm: float
    area_m2: float
    boards_m2: float
    least_rip_mm: float
    joint_lines: tuple[Line, ...] = ()
    notches: int = 0
    end_shim_mm: float = 0.0
    side_shim_mm: float = 0.0
    fascia_mm: float = 0.0
    fascia_high_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class WallLayout:
    """One feature wall unfolded; x along the wall from its start, z above the deck.

    Attributes
    ----------
    wall : str
        Id of the feature wall.
    length_mm, height_mm : float
        Its size, without its returns. [mm]
    openings_mm : tuple of ring
        Outlines of its openings. [mm]
    furring_mm : tuple of Line
        Furring strips, in elevation. [mm]
    net_m2 : float
        Clad area less openings. [m2]
    cap_mm : float
        Length of cap flashing. [mm]
    fabric_m2 : float
        Fabric behind open joints. [m2]
    blocking_mm : tuple of Line
        Blocking behind screens, in elevation; these are among the furring strips too. [mm]
    cap_across_mm : float
        Depth of the wall that the cap covers. [mm]
    cap_developed_mm : float
        Width of the sheet from which the cap is bent. [mm]
    cap_m2 : float
        Sheet of the cap, laps included. [m2]
    mass_kg : float
        About what the wall adds to what carries it. [kg]
    returns_mm : tuple of float
        Cladding turned round its start and its end. [mm]
    """

    wall: str
    length_mm: float
    height_mm: float
    openings_mm: tuple[Ring, ...]
    furring_mm: tuple[Line, ...]
    net_m2: float
    cap_mm: float
    fabric_m2: float
    blocking_mm: tuple[Line, ...] = ()
    cap_across_mm: float = 0.0
    cap_developed_mm: float = 0.0
    cap_m2: float = 0.0
    mass_kg: float = 0.0
    returns_mm: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class BoxLayout:
    """A planter, bench or counter as built.

    Attributes
    ----------
    box : str
        Its id.
    kind : str
        ``planter``, ``bench``, ``counter`` or ``steps``.
    outline_mm : ring
        Its footprint on plan. [mm]
    frame_mm : tuple of (str, float)
        Frame sticks to cut: section id and length. [mm]
    liner_m2 : float
        Lining, bottom and sides. [m2]
    drainage_m2 : float
        Drainage layer. [m2]
    media_m3 : float
        Growing media. [m3]
    plants : int
        Plants by spacing.
    clad_m2 : float
        Clad faces. [m2]
    top_m2 : float
        Seat, counter top or treads. [m2]
    wet_kg : float
        Everything in it and of it, media saturated. [kg]
    footprint_kpa : float
        That mass over its footprint. [kPa]
    lids : int
        Lids in a bench seat.
    risers : int
        Risers of steps.
    rise_mm : float
        What steps climb. [mm]
    """

    box: str
    kind: Literal["planter", "bench", "counter", "steps"]
    outline_mm: Ring
    frame_mm: tuple[tuple[str, float], ...]
    liner_m2: float
    drainage_m2: float
    media_m3: float
    plants: int
    clad_m2: float
    top_m2: float
    wet_kg: float = 0.0
    footprint_kpa: float = 0.0
    lids: int = 0
    risers: int = 0
    rise_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class BedLayout:
    """A stone bed.

    Attributes
    ----------
    bed : str
        Its id.
    outline_mm : ring
        Its outline. [mm]
    area_m2 : float
        Net area. [m2]
    volume_m3 : float
        Stone. [m3]
    edge_mm : float
        Length of edging. [mm]
    fabric_m2 : float
        Fabric beneath, turned up at the edge. [m2]
    dry_kg, wet_kg : float
        Stone as bought and as it lies after rain. [kg]
    bags : int
        Whole bags; none when it comes loose.
    wet_kpa : float
        Wet stone over its area. [kPa]
    boxes_inside : tuple of str
        Lights, outlets, speakers and other devices that stand in it.
    """

    bed: str
    outline_mm: Ring
    area_m2: float
    volume_m3: float
    edge_mm: float
    fabric_m2: float
    dry_kg: float = 0.0
    wet_kg: float = 0.0
    bags: int = 0
    wet_kpa: float = 0.0
    boxes_inside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything visible.

    Attributes
    ----------
    pieces : tuple of Piece
        In the order they are laid, place by place.
    fields, walls, boxes, beds : tuple
        One reading per thing drawn, in the order of the plan.
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    pieces: tuple[Piece, ...]
    fields: tuple[FieldLayout, ...]
    walls: tuple[WallLayout, ...]
    boxes: tuple[BoxLayout, ...]
    beds: tuple[BedLayout, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
