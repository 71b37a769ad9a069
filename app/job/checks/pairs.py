"""Pairs of values that must stand in order: a least below a greatest, a depth inside a height."""

from app.job.choices import Choices
from app.job.errors import InputError
from app.job.plan import Plan
from app.job.survey import Survey
from app.measure.show import is_currency


def temperature_faults(survey: Survey) -> tuple[InputError, ...]:
    """Find board temperatures out of order.

    Parameters
    ----------
    survey : Survey
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    range_c = survey.temperatures
    if range_c.lowest_c > range_c.highest_c:
        text = (
            f"The lowest, {range_c.lowest_c:g} °C, is above the highest, {range_c.highest_c:g} °C. Swap them."
        )
        return (InputError("survey.temperatures.lowest", range_c.lowest_c, text),)
    if not range_c.lowest_c <= range_c.fitting_c <= range_c.highest_c:
        text = (
            f"The boards are fitted at {range_c.fitting_c:g} °C, outside their range of "
            f"{range_c.lowest_c:g} to {range_c.highest_c:g} °C. Change it or widen the range."
        )
        return (InputError("survey.temperatures.fitting", range_c.fitting_c, text),)
    return ()


def plan_faults(plan: Plan) -> tuple[InputError, ...]:
    """Find pads, fixtures and planters whose pairs of values cannot be.

    Parameters
    ----------
    plan : Plan
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults = []
    level = plan.level
    if level.least_pad_mm > level.greatest_pad_mm:
        text = (
            f"The least pad, {level.least_pad_mm:g} mm, is above the greatest, {level.greatest_pad_mm:g} mm."
        )
        faults.append(InputError("plan.level.least_pad", level.least_pad_mm, text))
    for number, fixture in enumerate(plan.fixtures):
        if fixture.least_v > fixture.greatest_v:
            text = (
                f"{fixture.id} wants at least {fixture.least_v:g} V and at most {fixture.greatest_v:g} V. "
                "Swap them."
            )
            faults.append(InputError(f"plan.fixtures[{number}].least", fixture.least_v, text))
    for number, planter in enumerate(plan.planters):
        path = f"plan.planters[{number}]"
        if planter.media_depth_mm > planter.height_mm:
            text = (
                f"{planter.media_depth_mm:g} mm of media do not fit a planter {planter.height_mm:g} mm high."
            )
            faults.append(InputError(f"{path}.media_depth", planter.media_depth_mm, text))
        if 2 * planter.wall_mm >= min(planter.length_mm, planter.width_mm):
            text = f"Two walls of {planter.wall_mm:g} mm leave no room for media. Make the planter wider."
            faults.append(InputError(f"{path}.wall", planter.wall_mm, text))
    return tuple(faults)


def choice_faults(choices: Choices) -> tuple[InputError, ...]:
    """Find materials whose pairs of values cannot be.

    Parameters
    ----------
    choices : Choices
        As read.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    Definition.
    """
    faults = []
    for number, board in enumerate(choices.boards):
        if board.least_gap_mm > board.greatest_gap_mm:
            least, greatest = f"{board.least_gap_mm:g} mm", f"{board.greatest_gap_mm:g} mm"
            text = f"The least end gap, {least}, is above the greatest, {greatest}. Swap them."
            faults.append(InputError(f"choices.boards[{number}].least_gap", board.least_gap_mm, text))
    for number, pad in enumerate(choices.pads):
        heights = [packer.height_mm for packer in pad.packers]
        for at, height_mm in enumerate(heights):
            if height_mm in heights[:at]:
                text = f"{pad.id} already has a packer of {height_mm:g} mm. Leave one of them out."
                faults.append(InputError(f"choices.pads[{number}].packers[{at}].height", height_mm, text))
    for number, pedestal in enumerate(choices.pedestals):
        if pedestal.least_mm > pedestal.greatest_mm:
            least, greatest = f"{pedestal.least_mm:g} mm", f"{pedestal.greatest_mm:g} mm"
            text = (
                f"The least height of {pedestal.id}, {least}, is above its greatest, {greatest}. Swap them."
            )
            faults.append(InputError(f"choices.pedestals[{number}].least", pedestal.least_mm, text))
    for number, stone in enumerate(choices.stones):
        if stone.wet_kg_m3 < stone.dry_kg_m3:
            wet, dry = f"{stone.wet_kg_m3:g} kg/m³", f"{stone.dry_kg_m3:g} kg/m³"
            text = f"Wet stone, {wet}, is lighter than dry, {dry}. Swap them."
            faults.append(InputError(f"choices.stones[{number}].wet", stone.wet_kg_m3, text))
    return tuple(faults)


def currency_faults(currency: str) -> tuple[InputError, ...]:
    """Find a currency that is none.

    Parameters
    ----------
    currency : str
        Three letters.

    Returns
    -------
    faults : tuple of InputError

    References
    ----------
    ISO 4217, by Unicode CLDR as Babel carries it.
    """
    if is_currency(currency):
        return ()
    return (
        InputError("currency", currency, f"{currency} is no currency. Write its three letters, such as USD."),
    )
