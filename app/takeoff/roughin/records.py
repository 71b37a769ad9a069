"""What the rough-in room gives: every run, its path and length, and what arrives at its end."""

from dataclasses import dataclass
from typing import Literal

from app.job.findings import Assumption, Finding

Path = tuple[tuple[float, float], ...]


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
    """

    circuit: str
    kind: Literal["lighting", "power", "sound"]
    cable: str
    load_w: float
    current_a: float
    worst_drop_pct: float
    devices: tuple[DeviceReading, ...]


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
    """

    stub: str
    size: str
    longest_mm: float
    load_w: float
    capacity_w: float


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
    """

    runs: tuple[Run, ...]
    circuits: tuple[CircuitReading, ...]
    transformers: tuple[TransformerReading, ...]
    gas: tuple[GasReading, ...]
    trench_mm: float
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
