"""Direct cost against plan adds up however it is cut."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from app.build.costs import cost_rows, whole_cost
from app.pricing.records import KINDS, PHASES

sums = st.decimals(min_value=0, max_value=10_000_000, places=2, allow_nan=False)
cells = st.dictionaries(st.tuples(st.sampled_from((*PHASES, "")), st.sampled_from(KINDS)), sums, max_size=30)
shares = st.dictionaries(st.sampled_from(PHASES), st.floats(0, 100), max_size=10)
ends = st.dictionaries(st.sampled_from(PHASES), sums, max_size=10)


@given(cells, cells, cells, ends, shares)
@settings(max_examples=50, deadline=None)
def test_spent_and_to_finish_make_at_finish_in_every_row_and_sum(
    planned: dict[tuple[str, str], Decimal],
    ordered: dict[tuple[str, str], Decimal],
    spent: dict[tuple[str, str], Decimal],
    labour: dict[str, Decimal],
    done: dict[str, float],
) -> None:
    rows = cost_rows(planned, ordered, spent, labour, done)
    whole = whole_cost(rows)
    by_phase = [whole_cost((r for r in rows if r.phase == phase), phase) for phase in (*PHASES, "")]
    by_kind = [whole_cost((r for r in rows if r.kind == kind), "job", kind) for kind in KINDS]
    for row in (*rows, whole, *by_phase, *by_kind):
        assert row.spent + row.to_finish == row.at_finish
        assert row.to_finish >= 0
    for name, given_cells in (("planned", planned), ("ordered", ordered), ("spent", spent)):
        expected = sum(given_cells.values(), Decimal(0))
        for cut in ([whole], rows, by_phase, by_kind):
            assert sum((getattr(row, name) for row in cut), Decimal(0)) == expected
    for row in rows:
        if row.phase and done.get(row.phase, 0.0) < 100 and row.kind != "labour":
            assert row.at_finish == max(row.planned, row.ordered, row.spent)
        if not row.phase or done.get(row.phase, 0.0) >= 100:
            assert row.at_finish == row.spent
