"""`upstand takeoff`."""

from argparse import Namespace

from app.actions.answer_json import takeoff_json
from app.actions.from_file import FileAnswer
from app.cli.job import answer_of, print_json
from app.cli.tables import amount_text, findings_text, section, table
from app.measure.show import format_length, format_load, format_mass
from app.takeoff.chain import Takeoff


def run(options: Namespace) -> int:
    """Print what to bring."""
    answered = answer_of(options)
    if options.json:
        return print_json(takeoff_json(answered.job, answered.answer.takeoff))
    print(takeoff_text(answered))
    return 0


def takeoff_text(answered: FileAnswer) -> str:
    """Give the takeoff for a person, in the job's own system."""
    takeoff, system = answered.answer.takeoff, answered.job.units
    return "\n".join(
        (
            f"{answered.job.title} ({answered.job.id})",
            f"Prices for cutting at least cost: {answered.shop.name}, of {answered.today.isoformat()}",
            section("Quantities", _quantities(takeoff, system)),
            section("Cutting", _cutting(takeoff, system)),
            section("Offcuts to keep", _offcuts(takeoff, system)),
            section("Loads by place", _loads(takeoff, system)),
            section("Worst place", _worst(takeoff, system)),
            section("Carrying up", _carry(takeoff, system)),
            section("Runs", _runs(takeoff, system)),
            section("Findings", findings_text(takeoff.findings)),
        )
    )


def _quantities(takeoff: Takeoff, system: str) -> str:
    rows = (
        (quantity.basis, quantity.item, amount_text(quantity.amount, quantity.unit, system), quantity.why)
        for quantity in takeoff.totals.quantities
    )
    return table(("measured", "item", "amount", "why"), rows, right=(2,))


def _cutting(takeoff: Takeoff, system: str) -> str:
    rows = []
    for plan in takeoff.totals.cut_plans:
        counts: dict[tuple[str, float], int] = {}
        for stick in plan.sticks:
            key = (stick.item, stick.stock_mm)
            counts[key] = counts.get(key, 0) + 1
        bought = ", ".join(
            f"{count} × {format_length(length, system)} {item}" for (item, length), count in counts.items()
        )
        rows.append((plan.profile, bought, f"{plan.gap_pct:.2f} %", plan.method))
    return table(("profile", "buy", "over the bound", "found by"), rows, right=(2,))


def _offcuts(takeoff: Takeoff, system: str) -> str:
    rows = (
        (offcut.profile, format_length(offcut.length_mm, system), offcut.label)
        for plan in takeoff.totals.cut_plans
        for offcut in plan.offcuts
    )
    return table(("profile", "length", "from board"), rows, right=(1,))


def _worst(takeoff: Takeoff, system: str) -> str:
    worst = takeoff.totals.load_map.worst
    if worst is None:
        return "  nothing stands on the roof"
    parts = ", ".join(f"{place} {format_load(kpa, system)}" for place, kpa in worst.parts)
    allowed = (
        "not given" if worst.allowable_kpa is None else f"{format_load(worst.allowable_kpa, system)} allowed"
    )
    return (
        f"  at x {format_length(worst.x_mm, system)}, y {format_length(worst.y_mm, system)}: "
        f"{format_load(worst.dead_kpa, system)} dead ({parts}); {allowed}"
    )


def _loads(takeoff: Takeoff, system: str) -> str:
    rows = (
        (
            spot.place,
            spot.label,
            format_mass(spot.mass_kg, system),
            format_load(spot.dead_kpa, system),
            "not given" if spot.allowable_kpa is None else format_load(spot.allowable_kpa, system),
        )
        for spot in takeoff.totals.loads
    )
    return table(("place", "what", "mass, wet", "dead load", "allowable"), rows, right=(2, 3, 4))


def _carry(takeoff: Takeoff, system: str) -> str:
    carry = takeoff.totals.carry
    longest = format_length(carry.longest_mm, system)
    below = f"; cut on the ground first: {', '.join(carry.cut_below)}" if carry.cut_below else ""
    return (
        f"  {format_mass(carry.mass_kg, system)} in {carry.trips} trips, {carry.hours_h:.1f} crew hours; "
        f"longest piece {longest}{below}"
    )


def _runs(takeoff: Takeoff, system: str) -> str:
    rows = (
        (
            run.id,
            run.kind,
            f"{run.from_id} → {run.to_id}",
            run.cable or "pipe",
            format_length(run.length_mm, system),
        )
        for run in takeoff.rough_in.runs
    )
    return table(("run", "kind", "from → to", "cable", "length to buy"), rows, right=(4,))
