"""The plan: what is drawn. Angles turn anticlockwise from the x axis; boxes are placed by their centre."""

from typing import Annotated, Literal

from pydantic import Field

from app.job.fields import (
    Corner,
    Degrees,
    Id,
    Kg,
    Mm,
    NonNegativeMm,
    Outline,
    PositiveMm,
    Text,
    Tilt,
    Volt,
    Watt,
)
from app.job.record import Record

Face = Literal["front", "back", "left", "right"]


class DeckLevel(Record):
    """How high the deck lies. With no level given, the highest that keeps the step is taken."""

    level_mm: Mm | None = None  # top of boards above datum
    step_below_threshold_mm: NonNegativeMm = 20.0
    least_pad_mm: NonNegativeMm = 10.0  # thinnest pad and shims under a sleeper
    greatest_pad_mm: PositiveMm = 150.0  # tallest stack of pad and shims allowed
    # Where pads would be taller: stop and tell, lay a second sleeper under the first, or set pedestals.
    tall_pads: Literal["stop", "doubled sleeper", "pedestal"] = "stop"


class DeckField(Record):
    """One area of boards running one way, on its own sleepers."""

    id: Id
    name: Text = ""
    outline_mm: Outline
    holes_mm: tuple[Outline, ...] = ()
    board: Id
    sleeper: Id
    pad: Id
    angle_deg: Degrees = 0.0  # direction of the courses
    border_courses: Annotated[int, Field(ge=0, le=3)] = 0
    border_corner: Literal["mitred", "butted"] = "mitred"
    side_gap_mm: PositiveMm = 5.0
    longest_run_mm: PositiveMm | None = None  # between breaker boards; None: from expansion
    sleeper_spacing_mm: PositiveMm = 400.0
    pad_spacing_mm: PositiveMm = 600.0
    level_offset_mm: Mm = 0.0  # above the level of the deck; below zero: lower
    # How runs that are too long are joined: at breaker boards, or over sleepers, row by row.
    joints: Literal["breaker", "staggered", "aligned"] = "breaker"
    has_fascia: bool = False  # boards stand under its open edges
    fascia: Id | None = None  # the board of the fascia; None: that of the field


class StoneBed(Record):
    """Loose stone within an edge, over a fabric."""

    id: Id
    name: Text = ""
    outline_mm: Outline
    depth_mm: PositiveMm
    stone: Id
    has_edge: bool = True


class Box(Record):
    """Anything set down as a rectangle: placed by its centre, turned by its angle."""

    id: Id
    name: Text = ""
    x_mm: Mm
    y_mm: Mm
    length_mm: PositiveMm  # along its own x axis, before turning
    width_mm: PositiveMm
    height_mm: PositiveMm
    angle_deg: Degrees = 0.0


class Planter(Box):
    """A lined, drained, clad box of growing media."""

    medium: Id
    media_depth_mm: PositiveMm
    wall_mm: PositiveMm = 40.0  # thickness of frame, lining and cladding
    cladding: Id
    clad_faces: tuple[Face, ...] = ("front", "back", "left", "right")
    frame: Id
    plant_spacing_mm: PositiveMm = 300.0
    has_floor: bool = False  # boards under its lining; without: the lining lies on what it stands on


class Bench(Box):
    """A boxed seat of boards on a frame."""

    board: Id
    frame: Id
    clad_faces: tuple[Face, ...] = ("front",)
    has_lid: bool = False


class Counter(Box):
    """A boxed counter with a top, clad on the faces that are seen."""

    cladding: Id
    frame: Id
    top: Id
    clad_faces: tuple[Face, ...] = ("front", "left", "right")
    overhang_mm: NonNegativeMm = 0.0  # of the top over all four sides


class Steps(Record):
    """Steps up to a deck field; their front faces the way the angle points, and they go up backwards."""

    id: Id
    name: Text = ""
    x_mm: Mm  # middle of the edge they go up to
    y_mm: Mm
    angle_deg: Degrees = 270.0  # the way one looks when stepping down
    width_mm: PositiveMm  # of a tread, from side to side
    going_mm: PositiveMm = 280.0  # from riser to riser
    upper: Id  # the deck field they go up to
    lower: Id | None = None  # the deck field they go down to; None: the membrane in front of them
    board: Id
    frame: Id


class Opening(Record):
    """A hole or a niche in a feature wall; x along the wall from its start, z above the deck."""

    id: Id
    kind: Literal["door", "window", "niche"]
    x_mm: NonNegativeMm  # left side of the opening
    z_mm: NonNegativeMm  # underside of the opening
    width_mm: PositiveMm
    height_mm: PositiveMm
    depth_mm: NonNegativeMm = 0.0
    # The screen that hangs in a niche; with no width given there is none.
    screen_width_mm: PositiveMm | None = None
    screen_height_mm: PositiveMm | None = None
    screen_depth_mm: PositiveMm = 75.0  # how far it stands off the wall: common practice, no source
    screen_mass_kg: Kg = 0.0


class FeatureWall(Record):
    """A clad wall, drawn as a line on plan and unfolded as an elevation."""

    id: Id
    name: Text = ""
    start_mm: Corner
    end_mm: Corner
    height_mm: PositiveMm  # above the deck
    cladding: Id
    furring: Id
    furring_spacing_mm: PositiveMm = 400.0
    side_gap_mm: NonNegativeMm = 5.0
    fixing: Literal["existing wall", "free-standing"] = "existing wall"
    joints: Literal["staggered", "aligned"] = "staggered"  # of boards that are too short for the wall
    start_return_mm: NonNegativeMm = 0.0  # cladding turned round the end of the wall
    end_return_mm: NonNegativeMm = 0.0
    has_cap: bool = True
    cap_depth_mm: PositiveMm | None = None  # across the top; None: furring and cladding
    cap_slope_pct: Annotated[float, Field(ge=0, le=100)] = 5.0  # so that water runs off it
    has_fabric: bool = True
    openings: tuple[Opening, ...] = ()


class Furniture(Box):
    """Anything loose and heavy enough to count; a spa or basin with the water in it."""

    mass_kg: Kg  # empty
    water_m3: Annotated[float, Field(ge=0, le=100)] = 0.0  # m3 when full
    is_seat: bool = False  # people sit here: light and sound are looked at from it


class Tap(Record):
    """One more voltage that a transformer gives, for long runs."""

    voltage_v: Volt


class Transformer(Record):
    """Feeds low-voltage circuits; its rating is chosen by the engine when left out."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 300.0
    output_v: Volt
    rating_w: Watt | None = None
    taps: Annotated[tuple[Tap, ...], Field(max_length=8)] = ()  # beyond its output
    fed_from: Id  # a power point of the survey


class Amplifier(Record):
    """Feeds the speakers."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 300.0
    fed_from: Id
    power_w: Watt = 50.0


class Circuit(Record):
    """A set of devices on one source; which devices is said by each device."""

    id: Id
    kind: Literal["lighting", "power", "sound"]
    source: Id  # transformer, power point or amplifier
    topology: Literal["chain", "tee", "hub", "loop"] = "chain"
    cable: Id | None = None  # None: the smallest that keeps every fixture inside its window
    conduit: Literal["none", "EMT", "PVC Schedule 40", "PVC Schedule 80"] = "none"


class Fixture(Record):
    """A low-voltage light."""

    id: Id
    kind: Literal["step", "spot", "strip", "wall", "post"]
    circuit: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 0.0  # above the deck
    power_w: Watt
    least_v: Volt
    greatest_v: Volt
    load_kind: Literal["constant power", "constant current"] = "constant power"
    item: Id | None = None
    model: Id | None = None  # its data sheet among the choices; None: no light is reckoned from it
    tilt_deg: Tilt = 0.0  # from straight down: 90 level, 180 straight up
    aim_deg: Degrees = 0.0  # where it looks on plan when tilted


class Outlet(Record):
    """A line-voltage outlet; for a licensed electrician."""

    id: Id
    circuit: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 300.0
    load_w: Watt = 180.0
    is_continuous: bool = False


class Speaker(Record):
    """A loudspeaker, in a planter or on a wall."""

    id: Id
    circuit: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 300.0
    aim_deg: Degrees = 0.0
    power_w: Watt = 20.0
    impedance_ohm: Annotated[float, Field(gt=0, le=1000)] = 8.0
    sensitivity_db: Annotated[float, Field(gt=0, le=130)] = 87.0
    back_drop_db: Annotated[float, Field(ge=0, le=40)] = 0.0  # less straight behind than ahead


class GasStub(Record):
    """The end of a gas pipe for an appliance; for a licensed gas fitter."""

    id: Id
    source: Id  # a gas point of the survey
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 300.0
    appliance_w: Watt
    gas: Literal["natural gas", "propane"] = "natural gas"


class Walk(Record):
    """A way people take after dark, as a line on plan; its darkest spot is told."""

    id: Id
    name: Text = ""
    line_mm: Annotated[tuple[Corner, ...], Field(min_length=2, max_length=100)]


class Plan(Record):
    """All that is drawn on the roof."""

    level: DeckLevel = DeckLevel()
    deck_fields: tuple[DeckField, ...] = ()
    stone_beds: tuple[StoneBed, ...] = ()
    planters: tuple[Planter, ...] = ()
    benches: tuple[Bench, ...] = ()
    counters: tuple[Counter, ...] = ()
    steps: Annotated[tuple[Steps, ...], Field(max_length=40)] = ()
    feature_walls: tuple[FeatureWall, ...] = ()
    furniture: tuple[Furniture, ...] = ()
    transformers: tuple[Transformer, ...] = ()
    amplifiers: tuple[Amplifier, ...] = ()
    circuits: tuple[Circuit, ...] = ()
    fixtures: tuple[Fixture, ...] = ()
    outlets: tuple[Outlet, ...] = ()
    speakers: tuple[Speaker, ...] = ()
    gas_stubs: tuple[GasStub, ...] = ()
    walks: Annotated[tuple[Walk, ...], Field(max_length=40)] = ()
