"""All checks on a whole job file."""

import re

from app.job.checks.built import niche_faults, step_faults, steps_on_roof_faults
from app.job.checks.drawn import box_faults, device_faults, floor_faults, floors, wall_faults
from app.job.checks.ids import id_faults, kind_faults, reference_faults
from app.job.checks.pairs import choice_faults, currency_faults, plan_faults, temperature_faults
from app.job.checks.site import area_faults, edge_faults, height_faults, place_faults, roof_of
from app.job.checks.zones import fold_faults, zone_faults
from app.job.errors import InputError
from app.job.job import Job
from app.job.spoken import Spoken

_PARTS = ("currency", "survey", "plan", "choices")
_SPOT = re.compile(r"\((-?[\d.]+), (-?[\d.]+)\) mm")
_AMOUNT = re.compile(r"(?<![\w.,])(-?\d[\d,]*(?:\.\d+)?) (mm|m²|kg/m³|°C)(?!\w)")


def _in_file_order(faults: tuple[InputError, ...]) -> tuple[InputError, ...]:
    """Sort by the part of the file, else as found."""
    return tuple(sorted(faults, key=lambda fault: _PARTS.index(fault.path.partition(".")[0])))


def job_faults(job: Job) -> tuple[InputError, ...]:
    """Find everything in a job that contradicts itself.

    Parameters
    ----------
    job : Job
        Each of its values is already sound by itself.

    Returns
    -------
    faults : tuple of InputError
        All of them, part by part. What needs a sound roof outline is looked at only when there is one.

    References
    ----------
    Definition.
    """
    roof, outline_faults = roof_of(job.survey)
    shapes, shape_faults = floors(job.plan)
    faults = (
        *currency_faults(job.currency),
        *id_faults(job),
        *outline_faults,
        *edge_faults(job.survey),
        *height_faults(job.survey),
        *temperature_faults(job.survey),
        *shape_faults,
        *plan_faults(job.plan),
        *step_faults(job.plan),
        *niche_faults(job.plan),
        *choice_faults(job.choices),
        *reference_faults(job),
        *kind_faults(job),
    )
    if roof is None:
        return _told(_in_file_order(faults), Spoken(job.units))
    on_roof = (
        *place_faults(job.survey, roof),
        *zone_faults(job.survey, roof),
        *fold_faults(job.survey, roof),
        *area_faults(job.survey, roof),
        *floor_faults(shapes, roof),
        *box_faults(job.plan, job.survey, roof),
        *wall_faults(job.plan, roof),
        *steps_on_roof_faults(job.plan, roof),
        *device_faults(job.plan, roof),
    )
    return _told(_in_file_order((*faults, *on_roof)), Spoken(job.units))


def _told(faults: tuple[InputError, ...], say: Spoken) -> tuple[InputError, ...]:
    """Tell faults, which are found in metric, in the job's own units."""
    if say.units == "metric":
        return faults
    return tuple(
        InputError(
            fault.path,
            _at_home(fault.value, say) if isinstance(fault.value, str) else fault.value,
            _at_home(fault.wanted, say),
        )
        for fault in faults
    )


def _at_home(text: str, say: Spoken) -> str:
    """Write the metric amounts of a text in the job's own units."""
    told = _SPOT.sub(lambda found: say.spot(float(found[1]), float(found[2])), text)
    return _AMOUNT.sub(lambda found: _amount(float(found[1].replace(",", "")), found[2], say), told)


def _amount(amount: float, unit: str, say: Spoken) -> str:
    """Write one amount."""
    if unit == "mm":
        return say.length(amount)
    if unit == "m²":
        return say.area(amount)
    return say.density(amount) if unit == "kg/m³" else say.warmth(amount)
