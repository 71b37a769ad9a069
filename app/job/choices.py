"""The choices: the materials a job is built of, with the properties the engine computes from.

`item` links a material to the price list; everything physical stands here, so that a job file is whole.
"""

from typing import Annotated, Literal

from pydantic import Field

from app.job.fields import (
    Celsius,
    Id,
    Kg,
    KgPerM,
    KgPerM2,
    KgPerM3,
    Kpa,
    NonNegativeMm,
    PerCelsius,
    PositiveMm,
    Text,
    Watt,
)
from app.job.record import Record


class StockLength(Record):
    """One length in which a profile can be bought."""

    item: Id
    length_mm: PositiveMm


class Board(Record):
    """A board profile, for decks, cladding or seats."""

    id: Id
    name: Text
    material: Text
    width_mm: PositiveMm
    thickness_mm: PositiveMm
    mass_kg_m: KgPerM
    expansion_per_c: PerCelsius  # along the board
    expansion_source: Text
    fastening: Literal["face", "clip"] = "face"
    fastener: Id
    plug: Id | None = None  # None: heads stay visible
    least_gap_mm: NonNegativeMm = 3.0  # end gap never below this
    greatest_gap_mm: PositiveMm = 8.0  # end gap never above this when hot boards have closed it
    stock: Annotated[tuple[StockLength, ...], Field(min_length=1)]


class Section(Record):
    """A timber section, for sleepers, frames and furring."""

    id: Id
    name: Text
    species: Literal["hem-fir", "spruce-pine-fir", "douglas fir-larch", "southern pine", "other"]
    width_mm: PositiveMm  # as laid
    depth_mm: PositiveMm  # as laid
    mass_kg_m: KgPerM
    is_wet_service: bool = True
    is_incised: bool = False
    stock: Annotated[tuple[StockLength, ...], Field(min_length=1)]


class Pad(Record):
    """A pad glued under a sleeper, and the shims that level it."""

    id: Id
    item: Id
    name: Text
    length_mm: PositiveMm  # along the sleeper
    width_mm: PositiveMm
    thickness_mm: PositiveMm
    mass_kg: Kg
    limit_kpa: Kpa  # compressive resistance at 10 % deformation
    limit_source: Text
    long_term_fraction: Annotated[float, Field(gt=0, le=1)] = 1 / 3
    shim_item: Id
    shim_step_mm: PositiveMm = 3.0


class Medium(Record):
    """Growing media."""

    id: Id
    item: Id
    name: Text
    saturated_kg_m3: KgPerM3
    source: Text


class Stone(Record):
    """Loose stone."""

    id: Id
    item: Id
    name: Text
    dry_kg_m3: KgPerM3
    wet_kg_m3: KgPerM3
    source: Text


class Top(Record):
    """A counter top."""

    id: Id
    item: Id
    name: Text
    thickness_mm: PositiveMm
    mass_kg_m2: KgPerM2


class Cable(Record):
    """A two-conductor cable; resistance comes from the published conductor table by its size."""

    id: Id
    item: Id
    name: Text
    use: Literal["lighting", "power", "sound"]
    size: Literal[
        "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2"
    ]
    conductor_c: Celsius = 75.0  # temperature at which its resistance is taken


class TransformerSize(Record):
    """A transformer that can be bought."""

    item: Id
    rating_w: Watt


class Fastening(Record):
    """Items that go in by count or by length, whatever the profile."""

    screws_per_crossing: Annotated[int, Field(ge=1, le=6)] = 2
    clips_per_crossing: Annotated[int, Field(ge=1, le=4)] = 1
    frame_screw: Id = "SCREW-FRAME"
    connector: Id = "CONNECTOR"
    joist_tape: Id = "TAPE-JOIST"
    joist_tape_width_mm: PositiveMm = 75.0  # common practice, no source
    fabric: Id = "FABRIC"
    wall_fabric: Id = "FABRIC-WALL"
    liner: Id = "LINER"
    drainage_layer: Id = "DRAIN-LAYER"
    bed_edge: Id = "BED-EDGE"
    cap_flashing: Id = "CAP-FLASHING"
    gas_pipe: Id = "GAS-PIPE"
    outlet: Id = "OUTLET"
    speaker: Id = "SPEAKER"
    amplifier: Id = "AMPLIFIER"
    fixture: Id = "FIXTURE"
    plant: Id = "PLANT"


class Cutting(Record):
    """How boards are cut."""

    kerf_mm: NonNegativeMm = 3.0
    end_trim_mm: NonNegativeMm = 0.0  # cut off each stock board before the first piece
    keep_offcut_mm: PositiveMm = 600.0


class Limits(Record):
    """Limits the engine checks against; each can be changed for a job."""

    deflection_ratio: Annotated[float, Field(ge=100, le=1000)] = 360.0
    least_fall_pct: Annotated[float, Field(ge=0, le=20)] = 2.0
    guard_height_mm: PositiveMm = 1067.0
    guard_drop_mm: PositiveMm = 762.0
    least_free_height_mm: NonNegativeMm = 10.0  # for water under the sleepers
    transformer_loading: Annotated[float, Field(gt=0, le=1)] = 0.8
    cable_slack_mm: NonNegativeMm = 300.0  # at each end


class Choices(Record):
    """All materials and limits of a job."""

    boards: tuple[Board, ...] = ()
    sections: tuple[Section, ...] = ()
    pads: tuple[Pad, ...] = ()
    media: tuple[Medium, ...] = ()
    stones: tuple[Stone, ...] = ()
    tops: tuple[Top, ...] = ()
    cables: tuple[Cable, ...] = ()
    transformer_sizes: tuple[TransformerSize, ...] = ()
    fastening: Fastening = Fastening()
    cutting: Cutting = Cutting()
    limits: Limits = Limits()
