"""The survey: what was measured on the roof. Plan axes: x to the right, y up the sheet; z above datum."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from app.job.fields import (
    Celsius,
    Corner,
    Decibel,
    Degrees,
    Id,
    Kn,
    Kpa,
    Latitude,
    Longitude,
    Minutes,
    Mm,
    NonNegativeMm,
    Outline,
    PositiveKg,
    PositiveMm,
    Text,
    TimeZone,
    Volt,
    Watt,
)
from app.job.record import Record


class Edge(Record):
    """One side of the roof outline, from corner number `from_corner` to the next."""

    id: Id
    from_corner: Annotated[int, Field(ge=0)]
    kind: Literal["parapet", "wall", "guard", "open"]
    height_mm: NonNegativeMm = 0.0  # top above the membrane at that edge
    drop_mm: NonNegativeMm | None = None  # from the membrane to whatever lies below outside


class SpotHeight(Record):
    """A measured height of the membrane; z is above the datum (finished floor inside the door)."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm
    zone: Id | None = None  # None: the zone it lies in, or the roof round them


class Zone(Record):
    """A part of the roof that lies at a level or a fall of its own, with its own spot heights."""

    id: Id
    name: Text = ""
    outline_mm: Outline


class Fold(Record):
    """A line along which the membrane bends, with the height of both its ends above datum."""

    id: Id
    kind: Literal["ridge", "valley", "cricket"]
    start_mm: Corner
    start_z_mm: Mm
    end_mm: Corner
    end_z_mm: Mm


class Drain(Record):
    """Where water leaves the roof; a lift-out panel must stay over it."""

    id: Id
    kind: Literal["drain", "scupper", "gutter", "overflow"]
    x_mm: Mm
    y_mm: Mm
    diameter_mm: PositiveMm = 100.0
    keep_clear_mm: NonNegativeMm = 150.0  # radius round the centre that stays free of framing


class Penetration(Record):
    """Something standing up through the membrane; boards and frame stay clear of it."""

    id: Id
    kind: Literal["vent", "skylight", "hatch", "unit", "post", "chimney"]
    x_mm: Mm
    y_mm: Mm
    shape: Literal["round", "square"] = "square"
    width_mm: PositiveMm  # diameter when round
    depth_mm: PositiveMm | None = None  # same as width when left out
    height_mm: NonNegativeMm = 0.0
    keep_clear_mm: NonNegativeMm = 50.0


class Door(Record):
    """A door onto the roof; `threshold_mm` is the top of its threshold above datum."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    width_mm: PositiveMm
    threshold_mm: Mm
    swing: Literal["in", "out", "slide"] = "in"
    is_required_exit: bool = True


class WayUp(Record):
    """How things reach the roof: the longest piece that turns, the mass and minutes of one trip."""

    kind: Literal["stair", "lift", "ladder", "hoist", "crane"]
    longest_piece_mm: PositiveMm
    trip_mass_kg: PositiveKg
    minutes_per_trip_min: Minutes
    people: Annotated[int, Field(ge=1, le=20)] = 2
    notes: Text = ""


class AllowableLoad(Record):
    """The load that a named engineer allows on the roof, beyond what already lies on it."""

    dead_kpa: Kpa
    live_kpa: Kpa
    point_kn: Kn | None = None
    given_by: Text
    given_on: date
    reference: Text = ""


class AllowableArea(AllowableLoad):
    """A part of the roof for which the engineer gave figures of its own."""

    id: Id
    name: Text = ""
    outline_mm: Outline


class Snow(Record):
    """The ground snow load and the factors that make it a roof snow load; the engineer's, not ours."""

    ground_snow_kpa: Kpa
    edition: Literal["ASCE 7-16", "ASCE 7-22"]
    exposure_factor: Annotated[float, Field(ge=0.5, le=2)] = 1.0
    thermal_factor: Annotated[float, Field(ge=0.5, le=2)] = 1.0
    importance_factor: Annotated[float, Field(ge=0.5, le=2)] = 1.0  # not used by ASCE 7-22
    source: Text


class Wind(Record):
    """The design wind speed and what makes it a pressure; for the engineer, no mark is given."""

    wind_speed_m_s: Annotated[float, Field(gt=0, le=150)]  # 3-second gust, m/s
    edition: Literal["ASCE 7-10", "ASCE 7-16", "ASCE 7-22"]
    exposure: Literal["B", "C", "D"]
    roof_height_mm: PositiveMm  # above the ground
    topographic_factor: Annotated[float, Field(ge=1, le=5)] = 1.0
    directionality_factor: Annotated[float, Field(gt=0, le=1)] = 0.85
    ground_elevation_factor: Annotated[float, Field(gt=0.5, le=1)] = 1.0  # Ke; not used by ASCE 7-10
    # Kz at the roof's height, as the source has it; None: by the edition's formula.
    height_factor: Annotated[float, Field(ge=0.4, le=2.5)] | None = None
    source: Text


class LiveLoad(Record):
    """The live load to design for, and who or what says so; asked, never guessed."""

    live_kpa: Kpa
    source: Text


class Membrane(Record):
    """The roof covering and what lies beneath it."""

    kind: Text
    insulation: Text = ""
    insulation_limit_kpa: Kpa | None = None  # long-term compressive limit, from its maker
    insulation_source: Text = ""
    warranty_holder: Text = ""


class Temperatures(Record):
    """Board surface temperatures: the coldest, the hottest, and the day the boards are fitted."""

    lowest_c: Celsius
    highest_c: Celsius
    fitting_c: Celsius
    source: Text = ""


class PowerPoint(Record):
    """A panel or outlet from which a run may start."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 0.0
    supply_v: Volt
    spare_ways: Annotated[int, Field(ge=0, le=100)] = 0


class GasPoint(Record):
    """The gas shut-off from which a stub is run."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 0.0
    pipe_to_meter_mm: NonNegativeMm  # length of pipe between the meter and this point
    other_load_w: Watt = 0.0  # what the same pipe already feeds
    pressure_kpa: Kpa | None = None  # at the meter with the gas standing still, from the gas fitter
    notes: Text = ""


class WaterPoint(Record):
    """A tap or drain-down point."""

    id: Id
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 0.0


class Neighbour(Record):
    """A place where somebody else lives or listens."""

    id: Id
    kind: Literal["window", "boundary", "terrace"]
    x_mm: Mm
    y_mm: Mm
    z_mm: Mm = 1500.0
    limit_db: Decibel | None = None  # the level asked for there; None: a published guideline is shown
    notes: Text = ""


class SitePlace(Record):
    """Where on the earth the roof lies, for the hour of dusk."""

    latitude_deg: Latitude  # north is positive
    longitude_deg: Longitude  # east is positive
    time_zone: TimeZone  # such as America/New_York


class Survey(Record):
    """All that was measured and asked on the measuring visit."""

    surveyed_on: date
    surveyed_by: Text
    datum: Text = "finished floor inside the door"
    north_deg: Degrees = 0.0  # direction of north, clockwise from up the sheet
    place: SitePlace | None = None
    outline_mm: Outline
    holes_mm: tuple[Outline, ...] = ()
    edges: tuple[Edge, ...] = ()
    spot_heights: Annotated[tuple[SpotHeight, ...], Field(min_length=3, max_length=500)]
    zones: Annotated[tuple[Zone, ...], Field(max_length=20)] = ()
    folds: Annotated[tuple[Fold, ...], Field(max_length=100)] = ()
    drains: tuple[Drain, ...] = ()
    penetrations: tuple[Penetration, ...] = ()
    doors: tuple[Door, ...] = ()
    way_up: WayUp
    membrane: Membrane
    temperatures: Temperatures
    allowable_load: AllowableLoad | None = None
    live_load: LiveLoad | None = None
    allowable_areas: Annotated[tuple[AllowableArea, ...], Field(max_length=40)] = ()
    snow: Snow | None = None
    wind: Wind | None = None
    power_points: tuple[PowerPoint, ...] = ()
    gas_points: tuple[GasPoint, ...] = ()
    water_points: tuple[WaterPoint, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()
    notes: Text = ""
