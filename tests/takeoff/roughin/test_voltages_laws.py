"""Laws of lighting networks: thicker and shorter never hurt, currents add up, power is kept."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.roughin.voltages import Load, Segment, Solved, solve_network

ohms = st.floats(0.0, 0.06)
Network = tuple[list[Segment], list[Load]]


@st.composite
def networks(draw: st.DrawFn) -> Network:
    count = draw(st.integers(1, 9))
    nodes = [f"F{n}" for n in range(count)]
    segments = [
        Segment(draw(st.sampled_from(["S", *nodes[:n]])), node, draw(ohms)) for n, node in enumerate(nodes)
    ]
    if draw(st.booleans()):
        segments.append(Segment(nodes[-1], "S", draw(ohms)))
    kinds = st.sampled_from(["constant current", "constant power", "constant resistance"])
    return segments, [Load(node, draw(st.floats(0.0, 5.0)), 12.0, draw(kinds)) for node in nodes]


def solved(segments: list[Segment], loads: list[Load]) -> Solved:
    answer = solve_network("S", 12.0, segments, loads)
    assert answer is not None
    return answer


@settings(max_examples=50, deadline=None)
@given(networks(), st.floats(0.1, 1.0))
def test_a_thicker_cable_never_lowers_a_voltage(network: Network, share: float) -> None:
    segments, loads = network
    thin = solved(segments, loads)
    thick = solved([replace(s, resistance_ohm=s.resistance_ohm * share) for s in segments], loads)
    # A joint of no length keeps a trace of resistance that no share thins, hence the hair of tolerance.
    assert all(thick.voltage_v[load.id] >= thin.voltage_v[load.id] - 1e-7 for load in loads)


@settings(max_examples=50, deadline=None)
@given(networks(), st.data())
def test_a_longer_run_never_raises_a_voltage_on_a_tree(network: Network, data: st.DataObject) -> None:
    segments, loads = network
    tree = segments[: len(loads)]
    number = data.draw(st.integers(0, len(tree) - 1))
    longer = list(tree)
    longer[number] = replace(tree[number], resistance_ohm=tree[number].resistance_ohm + data.draw(ohms))
    before, after = solved(tree, loads), solved(longer, loads)
    # Devices that draw less at less voltage relieve the trunk, so the law is for those that do not.
    if all(load.kind != "constant resistance" for load in loads):
        assert all(after.voltage_v[load.id] <= before.voltage_v[load.id] + 1e-9 for load in loads)


@settings(max_examples=50, deadline=None)
@given(networks())
def test_device_currents_sum_to_the_source_current_and_power_is_kept(network: Network) -> None:
    segments, loads = network
    answer = solved(segments, loads)
    assert sum(answer.current_a.values()) == pytest.approx(answer.source_a, abs=1e-7)
    used = sum(answer.current_a[load.id] * answer.voltage_v[load.id] for load in loads)
    lost = sum(
        amps * (answer.voltage_v[s.from_id] - answer.voltage_v[s.to_id])
        for s, amps in zip(segments, answer.branch_a, strict=True)
    )
    assert used + lost == pytest.approx(12.0 * answer.source_a, abs=1e-6)


@settings(max_examples=50, deadline=None)
@given(networks())
def test_what_flows_into_a_joint_flows_out(network: Network) -> None:
    segments, loads = network
    answer = solved(segments, loads)
    for load in loads:
        inflow = sum(
            amps * ((s.to_id == load.id) - (s.from_id == load.id))
            for s, amps in zip(segments, answer.branch_a, strict=True)
        )
        assert inflow == pytest.approx(answer.current_a[load.id], abs=1e-7)
