"""Frame and pads on the sheet Takeoff."""

import html

from tests import demo
from tests.web.conftest import HARBOUR
from tests.web.page_client import PageClient


def test_the_takeoff_shows_the_frame_its_pads_and_its_sticks(staff: PageClient) -> None:
    text = staff.get(f"/jobs/{HARBOUR}/takeoff").text
    text = html.unescape(text)
    framing = demo.answer().takeoff.framing
    assert "Pad schedule: " + str(len(framing.pads)) + " pads" in text
    for band in framing.pad_schedule:
        assert f'<th scope="row" class="code">{band.mark}</th>' in text
    assert 'aria-label="Frame and pads' in text
    for stick in framing.sticks:
        if stick.role == "sleeper":
            assert stick.id in text
    for check in framing.span_checks:
        assert check.governs in text
