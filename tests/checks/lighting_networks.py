"""Worked low-voltage networks against a circuit simulator, and random ones against a second solver.

Source of the tables: four networks worked with a circuit simulator (ngspice 39) and a nodal solve that
agreed to 4.8e-9 V; conductors NEC Chapter 9 Table 8, stranded, 75 °C; source held at 12 or 24 V.
"""

from typing import Literal, get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import linalg

from app.tables.conductors import resistance_ohm_km
from app.takeoff.roughin.voltages import Load, Segment, Solved, loop_resistance_ohm, solve_network

MM_PER_FT = 304.8
PRINTED_V = 5e-5  # the tables print four decimals
Kind = Literal["constant current", "constant power"]
KINDS = get_args(Kind)


def segment(start: str, stop: str, feet: float, size: str) -> Segment:
    return Segment(start, stop, loop_resistance_ohm(feet * MM_PER_FT, resistance_ohm_km(size, 75.0)))


def names(prefix: str, count: int) -> list[str]:
    return [f"{prefix}{number}" for number in range(1, count + 1)]


def chain(nodes: list[str], feet: list[float], size: str) -> list[Segment]:
    return [segment(a, b, f, size) for a, b, f in zip(nodes, nodes[1:], feet, strict=False)]


F8, F10 = names("F", 8), names("F", 10)
NETWORKS = {
    "2A end-fed chain": (chain(["S", *F8], [40, *[10] * 7], "12 AWG"), F8, 5.0),
    "2B centre-fed tee": (
        [
            segment("S", "T", 50, "10 AWG"),
            *chain(["T", *names("L", 3)], [10] * 3, "12 AWG"),
            *chain(["T", *names("R", 5)], [10] * 5, "12 AWG"),
        ],
        names("L", 3) + names("R", 5),
        4.0,
    ),
    "2C hub": (
        [
            segment("S", "H", 60, "10 AWG"),
            *(
                segment("H", f, ft, "14 AWG")
                for f, ft in zip(names("F", 6), [10, 15, 20, 25, 25, 25], strict=True)
            ),
        ],
        names("F", 6),
        7.0,
    ),
    "2D loop": (chain(["S", *F10, "S"], [20, *[8] * 9, 36], "14 AWG"), F10, 6.0),
    "2D without its return": (chain(["S", *F10], [20, *[8] * 9], "14 AWG"), F10, 6.0),
}
# Rows: node, then 12 V constant current, 12 V constant power, 24 V constant current, 24 V constant power.
PRINTED = {
    "2A end-fed chain": """
        F1 11.4720 11.4299 23.7360 23.7313
        F2 11.3565 11.3046 23.6783 23.6725
        F3 11.2575 11.1969 23.6288 23.6221
        F4 11.1750 11.1069 23.5875 23.5800
        F5 11.1090 11.0347 23.5545 23.5463
        F6 11.0595 10.9805 23.5298 23.5210
        F7 11.0265 10.9443 23.5133 23.5042
        F8 11.0100 10.9262 23.5050 23.4958
        source 3.3333 3.5994 1.6667 1.6961""",
    "2B centre-fed tee": """
        T 11.6693 11.6561 23.8347 23.8331
        L1 11.6297 11.6151 23.8149 23.8131
        L2 11.6033 11.5877 23.8017 23.7998
        L3 11.5901 11.5740 23.7951 23.7932
        R1 11.6033 11.5872 23.8017 23.7998
        R2 11.5505 11.5320 23.7753 23.7731
        R3 11.5109 11.4906 23.7555 23.7531
        R4 11.4845 11.4630 23.7423 23.7397
        R5 11.4713 11.4491 23.7357 23.7331
        source 2.6667 2.7737 1.3333 1.3459""",
    "2C hub": """
        H 11.4792 11.4505 23.7396 23.7363
        F1 11.4426 11.4120 23.7213 23.7178
        F2 11.4243 11.3926 23.7121 23.7085
        F3 11.4059 11.3732 23.7030 23.6992
        F4 11.3876 11.3537 23.6938 23.6899
        F6 11.3876 11.3537 23.6938 23.6899
        source 3.5000 3.6929 1.7500 1.7722""",
    "2D loop": """
        F1 11.6467 11.6284 23.8234 23.8213
        F2 11.5306 11.5057 23.7653 23.7624
        F3 11.4395 11.4092 23.7198 23.7163
        F4 11.3736 11.3391 23.6868 23.6828
        F5 11.3327 11.2956 23.6664 23.6621
        F6 11.3170 11.2788 23.6585 23.6541
        F7 11.3265 11.2887 23.6632 23.6589
        F8 11.3610 11.3253 23.6805 23.6764
        F9 11.4207 11.3885 23.7103 23.7066
        F10 11.5054 11.4782 23.7527 23.7496
        source 5.0000 5.2665 2.5000 2.5307""",
    "2D without its return": """
        F10 10.2416 9.9407 23.1208 23.0916""",
}
CASES = [
    pytest.param(network, row.split()[0], volts, kind, float(row.split()[1 + column]), id=f"{network} {row}")
    for network, table in PRINTED.items()
    for row in table.strip().splitlines()
    for column, (volts, kind) in enumerate((v, k) for v in (12.0, 24.0) for k in KINDS)
]


def solved_network(name: str, source_v: float, kind: Kind) -> Solved:
    segments, fixtures, power_w = NETWORKS[name]
    solved = solve_network("S", source_v, segments, [Load(f, power_w, source_v, kind) for f in fixtures])
    assert solved is not None
    return solved


SEGMENTS_OHM = [
    ("2A home run", 40, "12 AWG", 0.15840),
    ("2A step", 10, "12 AWG", 0.03960),
    ("2B home run", 50, "10 AWG", 0.12400),
    ("2C home run", 60, "10 AWG", 0.14880),
    ("2C leads", 25, "14 AWG", 0.15700),
    ("2D inner", 8, "14 AWG", 0.05024),
    ("2D return", 36, "14 AWG", 0.22608),
]


@pytest.mark.parametrize(("name", "feet", "size", "printed_ohm"), SEGMENTS_OHM, ids=str)
def test_segments_are_stranded_copper_there_and_back(
    name: str, feet: float, size: str, printed_ohm: float
) -> None:
    """Stranded 14, 12, 10 AWG: 3.14, 1.98, 1.24 ohm/kft; some tables print the solid 3.07, 1.93, 1.21."""
    assert segment("S", name, feet, size).resistance_ohm == pytest.approx(printed_ohm, abs=5e-6)


@pytest.mark.parametrize(("network", "node", "source_v", "kind", "printed"), CASES)
def test_worked_networks_come_out_as_printed(
    network: str, node: str, source_v: float, kind: Kind, printed: float
) -> None:
    solved = solved_network(network, source_v, kind)
    found = solved.source_a if node == "source" else solved.voltage_v[node]
    assert found == pytest.approx(printed, abs=PRINTED_V + 1e-9)


def test_the_loop_splits_its_current_as_printed() -> None:
    """2D: 2.8125 A to the left, 2.1875 A to the right, at 12 V and constant current."""
    branches = solved_network("2D loop", 12.0, "constant current").branch_a
    assert (branches[0], -branches[-1]) == pytest.approx((2.8125, 2.1875), abs=1e-9)


def test_the_metric_chain_comes_out_as_printed() -> None:
    """8 × 5 W at 12 V, 2.5 mm² class 5 at 20 °C (7.98 ohm/km), 12 m lead, 3 m spacing: 10.8030 V."""
    r = resistance_ohm_km("2.5 mm2", 20.0)
    lengths = [12e3, *[3e3] * 7]
    nodes = ["S", *F8]
    segments = [
        Segment(a, b, loop_resistance_ohm(mm, r)) for a, b, mm in zip(nodes, nodes[1:], lengths, strict=False)
    ]
    solved = solve_network("S", 12.0, segments, [Load(f, 5.0, 12.0, "constant current") for f in F8])
    assert solved is not None
    assert solved.voltage_v["F8"] == pytest.approx(10.8030, abs=PRINTED_V)


def test_one_constant_power_load_follows_the_quadratic_and_ends_at_its_limit() -> None:
    """V = [Vs + √(Vs² − 4 R P)] / 2; none past Vs²/(4R) = 181.8182 W at 12 V and 0.198 ohm."""
    wire = [Segment("S", "F", 0.198)]

    def at(power_w: float) -> Solved | None:
        return solve_network("S", 12.0, wire, [Load("F", power_w, 12.0, "constant power")])

    near = at(181.81)
    assert near is not None
    assert near.voltage_v["F"] == pytest.approx((12 + (144 - 4 * 0.198 * 181.81) ** 0.5) / 2, abs=1e-6)
    assert at(181.82) is None
    assert at(500.0) is None


def tableau(source_v: float, segments: list[Segment], loads: list[Load]) -> dict[str, float]:
    """All node voltages and branch currents in one dense system; constant power by plain repetition."""
    nodes = sorted({n for s in segments for n in (s.from_id, s.to_id)} - {"S"})
    n, m = len(nodes), len(segments)
    system, right = np.zeros((n + m, n + m)), np.zeros(n + m)
    for k, s in enumerate(segments):
        system[n + k, n + k] = -s.resistance_ohm
        for name, sign in ((s.from_id, 1.0), (s.to_id, -1.0)):
            if name == "S":
                right[n + k] -= sign * source_v
            else:
                system[n + k, nodes.index(name)] += sign
                system[nodes.index(name), n + k] -= sign
    factors = linalg.lu_factor(system)
    volts = np.full(n, source_v)
    for _ in range(500):
        drawn = np.zeros(n)
        for load in loads:
            at = nodes.index(load.id)
            drawn[at] += load.power_w / (load.nominal_v if load.kind == "constant current" else volts[at])
        right[:n] = drawn
        volts = linalg.lu_solve(factors, right)[:n]
    return dict(zip(nodes, volts, strict=True))


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_random_networks_agree_with_a_second_solver_to_a_millivolt(data: st.DataObject) -> None:
    count = data.draw(st.integers(1, 12))
    ohms = st.floats(0.001, 0.08)
    parents = ["S", *[data.draw(st.sampled_from(["S", *names("F", k)])) for k in range(1, count)]]
    segments = [Segment(p, f, data.draw(ohms)) for p, f in zip(parents, names("F", count), strict=True)]
    if data.draw(st.booleans()):
        segments.append(Segment(f"F{count}", "S", data.draw(ohms)))
    loads = [
        Load(f, data.draw(st.floats(0.5, 4.0)), 12.0, data.draw(st.sampled_from(KINDS)))
        for f in names("F", count)
    ]
    solved = solve_network("S", 12.0, segments, loads)
    assert solved is not None
    for node, volts in tableau(12.0, segments, loads).items():
        assert solved.voltage_v[node] == pytest.approx(volts, abs=1e-3)
