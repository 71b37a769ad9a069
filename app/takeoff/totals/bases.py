"""The measured bases: every quantity is one of these, and an assembly can hang on any of them."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Basis:
    """One thing the takeoff measures.

    Attributes
    ----------
    code : str
        Its name in assemblies and in ``--json``.
    unit : str
        Unit of its amount.
    text : str
        What is measured, for a person.
    """

    code: str
    unit: Literal["m2", "m", "m3", "kg", "each"]
    text: str


BASES: tuple[Basis, ...] = (
    Basis("job.once", "each", "once for every job"),
    Basis("job.access", "m2", "roof area worked over: decks, beds and boxes together"),
    Basis("deck.area", "m2", "deck area, net of holes"),
    Basis("deck.border", "m", "border courses"),
    Basis("deck.breaker", "m", "breaker boards"),
    Basis("deck.pieces", "each", "deck pieces cut and laid"),
    Basis("deck.rips", "m", "boards ripped along their length"),
    Basis("deck.mitres", "each", "mitred ends"),
    Basis("deck.notches", "each", "boards cut round vents, posts and corners"),
    Basis("deck.fascia", "m", "fascia under open edges of decks"),
    Basis("steps.treads", "each", "treads of steps"),
    Basis("steps.stringers", "each", "lines of timber that carry the treads of steps"),
    Basis("steps.risers", "each", "risers of steps"),
    Basis("frame.sticks", "m", "sleepers, rims, blocking and trimmers"),
    Basis("frame.pads", "each", "pads levelled and glued"),
    Basis("frame.pedestals", "each", "pedestals where pads would be too tall"),
    Basis("frame.packers", "each", "packers on the pads"),
    Basis("frame.shims", "each", "shims on the pads"),
    Basis("frame.tape", "m", "joist tape"),
    Basis("frame.connectors", "each", "frame connectors"),
    Basis("frame.screws", "each", "frame screws"),
    Basis("frame.panels", "each", "lift-out panels over drains"),
    Basis("boards.fasteners", "each", "board screws or clips at real crossings"),
    Basis("boards.plugs", "each", "plugs over screw heads"),
    Basis("stock.boards", "each", "boards to buy, by stock length"),
    Basis("stock.sections", "each", "timber to buy, by stock length"),
    Basis("wall.area", "m2", "clad wall area, net of openings"),
    Basis("wall.cap", "m", "cap flashing"),
    Basis("wall.fabric", "m2", "fabric behind cladding"),
    Basis("wall.openings", "each", "openings and niches wrapped"),
    Basis("wall.furring", "m", "furring strips"),
    Basis("wall.blocking", "m", "blocking behind screens"),
    Basis("planter.each", "each", "planters built"),
    Basis("planter.clad", "m2", "clad planter faces"),
    Basis("planter.liner", "m2", "planter lining"),
    Basis("planter.drainage", "m2", "planter drainage layer"),
    Basis("planter.media", "m3", "growing media"),
    Basis("planter.plants", "each", "plants"),
    Basis("bench.each", "each", "benches built"),
    Basis("bench.seat", "m2", "bench seat area"),
    Basis("bench.lids", "each", "lids in bench seats"),
    Basis("counter.each", "each", "counters built"),
    Basis("counter.top", "m2", "counter top area"),
    Basis("box.clad", "m2", "clad bench and counter faces"),
    Basis("box.frame", "m", "planter, bench and counter frames"),
    Basis("bed.area", "m2", "stone bed area"),
    Basis("bed.stone", "kg", "loose stone, dry"),
    Basis("bed.bags", "each", "bags of stone, where it comes in bags"),
    Basis("bed.edge", "m", "stone bed edging"),
    Basis("bed.fabric", "m2", "fabric under stone"),
    Basis("light.fixtures", "each", "low-voltage lights"),
    Basis("light.transformers", "each", "transformers"),
    Basis("light.cable", "m", "low-voltage cable"),
    Basis("power.outlets", "each", "outlets"),
    Basis("power.cable", "m", "line-voltage cable"),
    Basis("power.circuits", "each", "line-voltage circuits"),
    Basis("sound.speakers", "each", "speakers"),
    Basis("sound.amplifiers", "each", "amplifiers"),
    Basis("sound.cable", "m", "speaker cable"),
    Basis("gas.stubs", "each", "gas stubs"),
    Basis("gas.pipe", "m", "gas pipe"),
    Basis("power.conduit", "m", "conduit round line voltage"),
    Basis("roughin.conduit", "m", "conduit round low-voltage and speaker cable"),
    Basis("roughin.trench", "m", "way used by runs, shared lengths counted once"),
    Basis("roughin.holes", "each", "sleepers drilled or notched for runs"),
    Basis("carry.hours", "each", "hours of carrying up"),
    Basis("carry.mass", "kg", "mass carried up"),
)
