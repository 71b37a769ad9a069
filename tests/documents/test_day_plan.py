"""The day plan, read back."""

import io

from pypdf import PdfReader

from app.documents.day_plan import day_plan_pdf
from tests import demo


def test_every_working_day_task_hold_point_and_order_is_in_it() -> None:
    printed = day_plan_pdf(demo.day_plan_inputs())
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(printed)).pages)
    plan = demo.answer().days
    assert plan.days
    for day in plan.days:
        assert f"{day.on:%a} {day.on.day} {day.on:%b %Y}" in text
    squeezed = "".join(text.split())
    for planned in plan.tasks:
        assert "".join(planned.task.name.split()) in squeezed
        assert "".join(planned.because.split()) in squeezed
    for line in plan.orders:
        assert "".join(line.name.split()) in squeezed
    assert "Hold point" in text
