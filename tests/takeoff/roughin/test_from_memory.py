"""What is used from memory is told once, with its edition, and only where it is used."""

import re

from app.documents.words import is_said
from app.job import plan as p
from app.job import survey as s
from app.takeoff.roughin import from_memory
from app.takeoff.roughin.from_memory import rules_from_memory
from app.takeoff.roughin.rough_in import rough_in
from tests import builders as b
from tests import demo
from tests.takeoff.roughin.site import a_fixture, a_lit_job, framing_of, layout_of


def told(*kinds: str, units: str = "metric") -> str:
    job = b.a_job().model_copy(update={"units": units})
    return " ".join(found.text for found in rules_from_memory(job, kinds, (), has_joints=False))


def test_each_kind_of_run_brings_its_rules_and_nothing_brings_none() -> None:
    assert told() == ""
    assert from_memory.LIGHTS in told("lighting")
    assert from_memory.OUTLETS not in told("lighting")
    assert from_memory.OUTLETS in told("power")
    assert "725.136" not in told("power")
    assert "Low voltage 50 mm from" in told("power", "sound")
    assert 'Low voltage 1 15/16" from' in told("power", "sound", units="imperial")


def test_every_rule_names_its_edition_and_is_said_in_french() -> None:
    rules = [from_memory.LIGHTS, from_memory.OUTLETS, from_memory.APART, from_memory.BOXES]
    rules += [from_memory.SOUND, from_memory.GAS]
    assert all(re.search(r"\b(199|20[012])\d\b", rule) for rule in rules)
    found = rules_from_memory(
        demo.demo_job(),
        ("lighting", "power", "sound", "gas"),
        demo.answer().takeoff.rough_in.levels,
        has_joints=True,
    )
    assert [(one.grade, one.value) for one in found] == [("check", len(rules))]
    assert is_said("fr", found[0].text)
    assert is_said("fr", found[0].source)


def test_a_lit_roof_tells_of_class_2_and_one_without_lights_does_not() -> None:
    def told_of(*lights: p.Fixture) -> list[tuple[str, str]]:
        return [(f.code, f.text) for f in rough_in(a_lit_job(*lights), layout_of(0.0), framing_of()).findings]

    (lit,) = [text for code, text in told_of(a_fixture("F", 1000, 1000)) if code == "roughin.from-memory"]
    assert "Class 2" in lit
    assert "Class 2" not in " ".join(text for _, text in told_of())


def test_a_job_of_propane_does_not_lean_on_the_table_of_natural_gas() -> None:
    point = s.GasPoint(id="valve", x_mm=5500, y_mm=3900, pipe_to_meter_mm=5000)
    stub = p.GasStub(id="grill", gas="propane", appliance_w=15_000, source="valve", x_mm=1000, y_mm=1000)
    job = a_lit_job(survey={"gas_points": (point,)}, gas_stubs=(stub,))
    assert not rules_from_memory(job, ("gas",), (), has_joints=False)
