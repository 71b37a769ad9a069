"""What the rough-in room gives: every run, its path and length, and what arrives at its end."""

from dataclasses import dataclass
from typing import Literal

from app.job.findings import Assumption, Finding
from app.takeoff.roughin.evening_records import Energy, Night, SoundLevel

Path = tuple[tuple[float, float], ...]
Lies = Literal["under boards", "in stone", "by a lift-out panel", "open"]


@dataclass(frozen=True, slots=True)
class Run:
    """One cable or pipe from one point to the next.

    Attributes
    ----------
    id : str
        Wire tag, unique in the job: ``L1-03``.
    circuit : str
        Circuit, transformer feed or gas stub it belongs to.
    kind : str
        What runs in it.
    from_id, to_id : str
        Source or device at each end; ``circuit/tee`` for a joint.
    path_mm : tuple of corner
        On plan, orthogonal to the sleepers. [mm]
    level_mm : float
        Length along the path. [mm]
    drop_mm : float
        Up and down at both ends. [mm]
    slack_mm : float
        Left at both ends for the joints. [mm]
    length_mm : float
        To buy: the three together. [mm]
    cable : str
        Id of the cable in the choices; empty for gas.
    size : str
        Conductor or pipe size as printed.
    sticks_crossed : int
        Sleepers to notch or drill.
    """

    id: str
    circuit: str
    kind: Literal["lighting", "power", "sound", "gas"]
    from_id: str
    to_id: str
    path_mm: Path
    level_mm: float
    drop_mm: float
    slack_mm: float
    length_mm: float
    cable: str
    size: str
    sticks_crossed: int


@dataclass(frozen=True, slots=True)
class DeviceReading:
    """What arrives at one device.

    Attributes
    ----------
    device : str
        Fixture, outlet or speaker.
    circuit : str
        Its circuit.
    voltage_v : float
        Voltage there with everything on. [V]
    current_a : float
        Current it draws. [A]
    is_inside : bool
        Whether the voltage is inside its window (or the drop within the usual figure).
    """

    device: str
    circuit: str
    voltage_v: float
    current_a: float
    is_inside: bool


@dataclass(frozen=True, slots=True)
class CircuitReading:
    """One circuit, solved.

    Attributes
    ----------
    circuit : str
        Its id.
    kind : str
        Lighting, power or sound.
    cable : str
        Cable chosen.
    load_w : float
        Sum of its devices. [W]
    current_a : float
        At the source. [A]
    worst_drop_pct : float
        At the worst device. [%]
    devices : tuple of DeviceReading
    source_v : float
        What it is fed at: the output of the transformer, or the tap it needs. [V]
    """

    circuit: str
    kind: Literal["lighting", "power", "sound"]
    cable: str
    load_w: float
    current_a: float
    worst_drop_pct: float
    devices: tuple[DeviceReading, ...]
    source_v: float = 0.0


@dataclass(frozen=True, slots=True)
class TransformerReading:
    """One transformer, sized.

    Attributes
    ----------
    transformer : str
        Its id.
    load_w : float
        What hangs on it. [W]
    needed_w : float
        Load over the loading fraction. [W]
    rating_w : float
        Rating chosen. [W]
    item : str
        Item to buy.
    """

    transformer: str
    load_w: float
    needed_w: float
    rating_w: float
    item: str


@dataclass(frozen=True, slots=True)
class GasReading:
    """One gas stub, by the longest-length method; a licensed gas fitter decides.

    Attributes
    ----------
    stub : str
        Its id.
    size : str
        Nominal pipe size from the table, to be confirmed.
    longest_mm : float
        Meter to stub. [mm]
    load_w : float
        Everything on the pipe. [W]
    capacity_w : float
        What the table gives for that size and length. [W]
    drop_kpa : float
        Lost from the meter to the stub at full load, all of it in that size. [kPa]
    left_kpa : float or None
        Left at the stub; None when the pressure at the meter is not known. [kPa]
    """

    stub: str
    size: str
    longest_mm: float
    load_w: float
    capacity_w: float
    drop_kpa: float = 0.0
    left_kpa: float | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """A box in which runs of one circuit are joined.

    Attributes
    ----------
    id : str
        As the runs name it: ``spots/tee-1``.
    x_mm, y_mm : float
        On plan. [mm]
    lies : str
        ``under boards``, ``in stone``, ``by a lift-out panel`` or ``open``.
    is_reachable : bool
        Whether it can be opened later without taking boards up.
    """

    id: str
    x_mm: float
    y_mm: float
    lies: Lies
    is_reachable: bool


@dataclass(frozen=True, slots=True)
class Pull:
    """One run in the order of pulling.

    Attributes
    ----------
    number : int
        From 1.
    run : str
        Its tag, written on both ends.
    from_id, to_id : str
        Its ends.
    cable, size : str
        What is pulled.
    length_mm : float
        To cut. [mm]
    conduit : str
        Size of the conduit round it; empty for none.
    fill_pct : float
        Of the inside of that conduit. [%]
    conduit_item : str
        Item of that conduit; empty for none.
    """

    number: int
    run: str
    from_id: str
    to_id: str
    cable: str
    size: str
    length_mm: float
    conduit: str = ""
    fill_pct: float = 0.0
    conduit_item: str = ""


@dataclass(frozen=True, slots=True)
class SetOut:
    """Where one thing lies, by tape.

    Attributes
    ----------
    thing, kind : str
        Its id, and what it is.
    from_a_mm, from_b_mm : float
        From the two fixed corners, level with the deck. [mm]
    height_mm : float or None
        Above the deck; None where it is surveyed from the datum or lies under the boards. [mm]
    """

    thing: str
    kind: str
    from_a_mm: float
    from_b_mm: float
    height_mm: float | None


@dataclass(frozen=True, slots=True)
class WaysReading:
    """The ways of one power point.

    Attributes
    ----------
    point : str
        Of the survey.
    spare, taken, left : int
        Free before, used by this plan, free after; below zero when there are too few.
    """

    point: str
    spare: int
    taken: int
    left: int


@dataclass(frozen=True, slots=True)
class RoughIn:
    """Everything that runs hidden.

    Attributes
    ----------
    runs : tuple of Run
    circuits : tuple of CircuitReading
    transformers : tuple of TransformerReading
    gas : tuple of GasReading
    trench_mm : float
        Length of way used by one or more runs, shared lengths counted once. [mm]
    findings : tuple of Finding
    assumptions : tuple of Assumption
    joints : tuple of Joint
    pulls : tuple of Pull
        The runs again, in the order of pulling.
    ways : tuple of WaysReading
    fixed_points_mm : tuple of tuple of float
        Corners A and B of the roof. [mm]
    set_out : tuple of SetOut
        Everything at an end of a run, measured from them.
    levels : tuple of SoundLevel
    night : Night or None
        None when no fixture names a data sheet with light in it.
    energy : Energy or None
        None without lights, or without the place of the roof.
    """

    runs: tuple[Run, ...]
    circuits: tuple[CircuitReading, ...]
    transformers: tuple[TransformerReading, ...]
    gas: tuple[GasReading, ...]
    trench_mm: float
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    joints: tuple[Joint, ...] = ()
    pulls: tuple[Pull, ...] = ()
    ways: tuple[WaysReading, ...] = ()
    fixed_points_mm: tuple[tuple[float, float], ...] = ()
    set_out: tuple[SetOut, ...] = ()
    levels: tuple[SoundLevel, ...] = ()
    night: Night | None = None
    energy: Energy | None = None
