"""What the small goods weigh: screws, tape, cable, lining, fixtures; from their amounts and unit masses."""

from collections.abc import Mapping

from app.job.choices import Masses
from app.takeoff.totals.records import Quantity


def small_goods_kg(masses: Masses, quantities: tuple[Quantity, ...]) -> tuple[tuple[str, float], ...]:
    """Give the mass of each small good, by item.

    Parameters
    ----------
    masses : Masses
        What one of each weighs.
    quantities : tuple of Quantity
        How much of each there is.

    Returns
    -------
    goods : tuple of (str, float)
        Item, or the basis where it has no item, and mass. [kg]

    Notes
    -----
    Net amounts, without waste: what is left over goes up too, but is small beside the rest.

    References
    ----------
    The unit masses of the job; their defaults are from memory.
    """
    unit_kg = _unit_masses(masses)
    found: dict[str, float] = {}
    for made in quantities:
        each = unit_kg.get(made.basis, 0.0)
        if each > 0.0:
            name = made.item or made.basis
            found[name] = found.get(name, 0.0) + made.amount * each
    return tuple(found.items())


def _unit_masses(masses: Masses) -> Mapping[str, float]:
    """Give kilograms per unit of each basis that is a small good."""
    return {
        "boards.fasteners": masses.board_fastener_kg,
        "boards.plugs": masses.plug_kg,
        "frame.screws": masses.frame_screw_kg,
        "frame.connectors": masses.connector_kg,
        "frame.shims": masses.shim_kg,
        "frame.tape": masses.joist_tape_kg_m,
        "wall.cap": masses.cap_flashing_kg_m,
        "wall.fabric": masses.fabric_kg_m2,
        "planter.liner": masses.liner_kg_m2,
        "planter.drainage": masses.drainage_layer_kg_m2,
        "planter.plants": masses.plant_kg,
        "bed.edge": masses.bed_edge_kg_m,
        "bed.fabric": masses.fabric_kg_m2,
        "light.fixtures": masses.fixture_kg,
        "light.transformers": masses.transformer_kg,
        "light.cable": masses.cable_kg_m,
        "power.outlets": masses.outlet_kg,
        "power.cable": masses.cable_kg_m,
        "sound.speakers": masses.speaker_kg,
        "sound.amplifiers": masses.amplifier_kg,
        "sound.cable": masses.cable_kg_m,
        "gas.pipe": masses.gas_pipe_kg_m,
        "power.conduit": masses.conduit_kg_m,
        "roughin.conduit": masses.conduit_kg_m,
    }
