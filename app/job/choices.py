"""The choices: the materials a job is built of, with the properties the engine computes from.

`item` links a material to the price list; everything physical stands here, so that a job file is whole.
"""

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from app.job.fields import (
    BeamAngle,
    Celsius,
    Id,
    Kg,
    KgPerM,
    KgPerM2,
    KgPerM3,
    Kn,
    Kpa,
    NonNegativeKgPerM,
    NonNegativeMm,
    PerCelsius,
    PositiveKg,
    PositiveMm,
    Text,
    Volt,
    Watt,
)
from app.job.photometry import Photometry, read_photometry
from app.job.record import Record


class StockLength(Record):
    """One length in which a profile can be bought."""

    item: Id
    length_mm: PositiveMm
    pack: Annotated[int, Field(ge=1, le=1000)] = 1  # boards in a pack; whole packs are bought


class Board(Record):
    """A board profile, for decks, cladding or seats."""

    id: Id
    name: Text
    material: Text
    width_mm: PositiveMm
    thickness_mm: PositiveMm
    mass_kg_m: KgPerM
    mass_source: Text = ""
    expansion_per_c: PerCelsius  # along the board
    expansion_source: Text
    greatest_span_mm: PositiveMm | None = None  # between sleepers, along the board; None: not said
    span_source: Text = ""
    fastening: Literal["face", "clip"] = "face"
    fastener: Id
    plug: Id | None = None  # None: heads stay visible
    least_gap_mm: NonNegativeMm = 3.0  # end gap never below this
    greatest_gap_mm: PositiveMm = 8.0  # end gap never above this when hot boards have closed it
    has_grain_direction: bool = False  # a board must not be turned end for end: rips share no length
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


class Packer(Record):
    """A hard block of fixed height on a pad, so that shims only do the rest."""

    item: Id
    height_mm: PositiveMm
    mass_kg: Kg = 0.0


class Pad(Record):
    """A pad glued under a sleeper, and the packers and shims that level it."""

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
    packers: Annotated[tuple[Packer, ...], Field(max_length=8)] = ()


class Pedestal(Record):
    """A support of adjustable height on a round foot, where a pad would be too tall."""

    id: Id
    item: Id
    name: Text
    least_mm: PositiveMm  # from the membrane to the underside of the timber, screwed down
    greatest_mm: PositiveMm  # screwed out
    foot_mm: PositiveMm  # across its foot
    mass_kg: Kg
    limit_kn: Kn  # what one bears, from its maker
    limit_source: Text


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
    bag_kg: PositiveKg | None = None  # of one bag; None: it comes loose


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
    outer_mm: PositiveMm | None = None  # over the sheath, for the fill of a conduit; None: single wires


class Conduit(Record):
    """A conduit that can be bought; its inside comes from the published table by kind and size."""

    id: Id
    item: Id
    name: Text
    kind: Literal["EMT", "PVC Schedule 40", "PVC Schedule 80"]
    size: Literal["1/2 in", "3/4 in", "1 in"]


def _photometric(text: str) -> str:
    """Hold a photometric file against its standard; empty when there is none."""
    if text:
        read_photometry(text)
    return text


class FixtureKind(Record):
    """The data sheet of a light: what it takes, and what light it gives."""

    id: Id
    item: Id | None = None
    name: Text
    power_w: Watt
    least_v: Volt
    greatest_v: Volt
    load_kind: Literal["constant power", "constant current"] = "constant power"
    output_lm: Annotated[float, Field(ge=0, le=1e5)] = 0.0
    beam_deg: BeamAngle = 120.0  # between the directions of half the greatest intensity
    # A whole photometric file (LM-63); it is used in place of output and beam.
    photometry: Annotated[str, Field(max_length=200_000), AfterValidator(_photometric)] = ""

    def photometric(self) -> Photometry | None:
        """Give the photometric file as read; None when there is none."""
        return read_photometry(self.photometry) if self.photometry else None


class Evening(Record):
    """When the lights go out, and what a kilowatt-hour costs, for the yearly figure."""

    off_at_h: Annotated[float, Field(ge=0, le=24)] = 23.0  # clock hour; up to 12: after midnight
    tariff: Annotated[Decimal, Field(ge=0, le=100)] | None = None  # of one kWh, in the job's currency


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


class KeptOffcut(Record):
    """A length left from another job, in the shop's rack."""

    profile: Id
    length_mm: PositiveMm
    label: Text = ""


class Cutting(Record):
    """How boards are cut."""

    kerf_mm: NonNegativeMm = 3.0
    end_trim_mm: NonNegativeMm = 0.0  # cut off each stock board before the first piece
    keep_offcut_mm: PositiveMm = 600.0
    # What a kept offcut is worth, of the least price of its length; 0: nothing.
    offcut_value_pct: Annotated[float, Field(ge=0, le=90)] = 0.0
    kept_offcuts: Annotated[tuple[KeptOffcut, ...], Field(max_length=200)] = ()


class Masses(Record):
    """What the small goods weigh, for the carry; the defaults are from memory."""

    board_fastener_kg: Kg = 0.006
    plug_kg: Kg = 0.001
    frame_screw_kg: Kg = 0.009
    connector_kg: Kg = 0.12
    shim_kg: Kg = 0.02
    joist_tape_kg_m: NonNegativeKgPerM = 0.09
    fabric_kg_m2: KgPerM2 = 0.2
    liner_kg_m2: KgPerM2 = 1.2
    drainage_layer_kg_m2: KgPerM2 = 1.0
    bed_edge_kg_m: NonNegativeKgPerM = 0.8
    cap_flashing_kg_m: NonNegativeKgPerM = 1.3
    cable_kg_m: NonNegativeKgPerM = 0.13
    gas_pipe_kg_m: NonNegativeKgPerM = 1.3
    conduit_kg_m: NonNegativeKgPerM = 0.26
    outlet_kg: Kg = 0.5
    speaker_kg: Kg = 3.0
    amplifier_kg: Kg = 5.0
    fixture_kg: Kg = 0.4
    transformer_kg: Kg = 6.0
    plant_kg: Kg = 2.0
    source: Text = "from memory; weigh one or read its maker's sheet"


class Limits(Record):
    """Limits the engine checks against; each can be changed for a job."""

    deflection_ratio: Annotated[float, Field(ge=100, le=1000)] = 360.0
    least_fall_pct: Annotated[float, Field(ge=0, le=20)] = 2.0
    guard_height_mm: PositiveMm = 1067.0
    guard_height_source: Text = (
        "IRC R312.1.2: at least 36 in (914 mm) above the adjacent walking surface; IBC §1015.3 (from "
        "memory): at least 42 in (1067 mm)"
    )
    guard_drop_mm: PositiveMm = 762.0
    guard_drop_source: Text = (
        "IRC R312.1.1 and IBC §1015.2 (the latter from memory): drop of more than 30 in (762 mm) within "
        "36 in of the edge"
    )
    greatest_riser_mm: PositiveMm = 196.85
    least_tread_mm: PositiveMm = 254.0  # from riser to riser
    handrail_risers: Annotated[int, Field(ge=1, le=40)] = 4  # steps with as many ask for one
    steps_source: Text = (
        "IRC R311.7 (from memory): risers of 7¾ in (196.85 mm) at most and alike, treads of 10 in (254 mm) "
        "at least, a handrail from four risers on"
    )
    point_load_kn: Kn | None = None  # on one sleeper at its worst place; None: not looked at
    point_load_source: Text = ""
    least_free_height_mm: NonNegativeMm = 10.0  # for water under the sleepers
    transformer_loading: Annotated[float, Field(gt=0, le=1)] = 0.8
    cable_slack_mm: NonNegativeMm = 300.0  # at each end


class Choices(Record):
    """All materials and limits of a job."""

    boards: tuple[Board, ...] = ()
    sections: tuple[Section, ...] = ()
    pads: tuple[Pad, ...] = ()
    pedestals: Annotated[tuple[Pedestal, ...], Field(max_length=12)] = ()
    media: tuple[Medium, ...] = ()
    stones: tuple[Stone, ...] = ()
    tops: tuple[Top, ...] = ()
    cables: tuple[Cable, ...] = ()
    transformer_sizes: tuple[TransformerSize, ...] = ()
    conduits: Annotated[tuple[Conduit, ...], Field(max_length=60)] = ()
    fixture_kinds: Annotated[tuple[FixtureKind, ...], Field(max_length=100)] = ()
    evening: Evening = Evening()
    fastening: Fastening = Fastening()
    cutting: Cutting = Cutting()
    masses: Masses = Masses()
    limits: Limits = Limits()
