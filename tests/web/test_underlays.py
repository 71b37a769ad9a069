"""The picture beneath the drawing: kept with the job, told by content, without place, taken away whole."""

import io
from base64 import b64encode
from typing import Any

import pytest
from PIL import Image
from weasyprint import HTML

from app.store import check_papers
from app.store.models import AuditRow, JobRow, UnderlayRow
from tests.web.conftest import HARBOUR, QUAY_LOFT, Server
from tests.web.page_client import PageClient

API = f"/api/jobs/{HARBOUR}/board"
HERE = {"left": -500.0, "top": 7000.5, "wide": 9000.0, "high": 4500.0, "opacity": 40}


def a_photo(form: str = "JPEG", size: tuple[int, int] = (3000, 1500), **more: Any) -> str:
    """A photo that says where it was taken, in base64."""
    written = io.BytesIO()
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (53.0, 33.0, 0.0)}
    Image.new(more.pop("mode", "RGB"), size, more.pop("colour", "red")).save(written, form, exif=exif, **more)
    return b64encode(written.getvalue()).decode()


def send(staff: PageClient, **body: Any) -> Any:
    return staff.browser.post(f"{API}/picture", json=body)


def lies(staff: PageClient) -> dict[str, Any] | None:
    found: dict[str, Any] | None = staff.browser.get(API).json()["picture"]
    assert found == staff.browser.get(f"{API}/picture").json()["picture"]
    return found


def image(staff: PageClient) -> Image.Image:
    answer = staff.browser.get(f"/jobs/{HARBOUR}/board/picture.jpg")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/jpeg")
    return Image.open(io.BytesIO(answer.content))


def test_a_photo_is_kept_with_the_job_smaller_and_without_where_it_was_taken(staff: PageClient) -> None:
    assert lies(staff) is None
    assert send(staff, file=a_photo()).status_code == 200
    found = lies(staff)
    assert found is not None
    assert (found["left"], found["wide"] / found["high"]) == (0, pytest.approx(2))
    kept = image(staff)
    assert (kept.format, kept.size, dict(kept.getexif())) == ("JPEG", (2400, 1200), {})
    other = staff.browser.get(f"/api/jobs/{QUAY_LOFT}/board").json()
    assert other["picture"] is None


def test_it_is_laid_elsewhere_and_taken_away_and_the_trail_says_so(server: Server, staff: PageClient) -> None:
    send(staff, file=a_photo(), lying=HERE)
    moved = {**HERE, "wide": 9500.0, "opacity": 100}
    assert staff.browser.put(f"{API}/picture", json=moved).status_code == 200
    found = lies(staff)
    assert found is not None
    assert {key: found[key] for key in HERE} == moved
    for _ in range(2):
        assert staff.browser.post(f"{API}/picture/remove", json={}).json() == {"picture": None}
    assert lies(staff) is None
    assert staff.browser.get(f"/jobs/{HARBOUR}/board/picture.jpg").status_code == 404
    assert staff.browser.put(f"{API}/picture", json=HERE).status_code == 404
    with server.db.read() as session:
        assert session.query(UnderlayRow).count() == 0
        trail = [row.what for row in session.query(AuditRow).order_by(AuditRow.id.desc()).limit(3)]
    assert trail[0] == "took the picture beneath the drawing away"
    assert trail[1].endswith("9500 by 4500 mm, 100 % seen")
    assert trail[2] == "laid a picture beneath the drawing"


def test_another_picture_takes_the_place_of_the_one_before(server: Server, staff: PageClient) -> None:
    send(staff, file=a_photo())
    first = lies(staff)
    send(staff, file=a_photo("PNG", (400, 400), mode="RGBA", colour=(0, 0, 0, 0)))
    second = lies(staff)
    assert first is not None
    assert second is not None
    assert first["address"] != second["address"]
    assert image(staff).getpixel((200, 200)) == (255, 255, 255)  # what has no ground lies on paper
    with server.db.read() as session:
        assert session.query(UnderlayRow).count() == 1


def test_a_page_of_a_pdf_lies_as_if_drawn_one_to_fifty(staff: PageClient) -> None:
    pdf = HTML(string="<style>@page { size: A4; }</style><p>Old plan</p>").write_pdf()
    sent = b64encode(pdf).decode()
    answer = send(staff, file=sent).json()
    assert answer["pages"] == 1
    assert (answer["picture"]["wide"], answer["picture"]["high"]) == pytest.approx((10500, 14850))
    assert max(image(staff).size) == 2400
    refused = send(staff, file=sent, page=2)
    assert refused.status_code == 422
    assert "no page 2" in refused.text
    assert max(image(staff).size) == 2400  # what lay there before still does


@pytest.mark.parametrize(
    "body",
    [
        {"file": "no base64!"},
        {"file": ""},
        {"file": b64encode(b"hello").decode()},
        {"file": b64encode(b"%PDF-1.7 no").decode()},
        {"file": b64encode(b"<svg xmlns='http://www.w3.org/2000/svg'/>").decode()},
        {"file": a_photo("GIF", (10, 10))},
        {"file": a_photo("PNG", (9000, 9000), mode="1", colour=0)},
        {"file": a_photo("JPEG", (40, 40))[:-40]},
        {"file": a_photo("JPEG", (40, 40)), "page": "two"},
        {"file": a_photo("JPEG", (40, 40)), "page": True},
        {"file": a_photo("JPEG", (40, 40)), "lying": {**HERE, "wide": 0}},
        {"file": a_photo("JPEG", (40, 40)), "lying": {**HERE, "left": "far"}},
        {"file": a_photo("JPEG", (40, 40)), "lying": [1, 2]},
        {"file": a_photo("JPEG", (40, 40)), "lying": {**HERE, "opacity": 200}},
    ],
)
def test_what_is_no_picture_or_too_much_is_refused_in_words(staff: PageClient, body: dict[str, Any]) -> None:
    answer = send(staff, **body)
    assert answer.status_code == 422, answer.text
    assert answer.json()["error"]["text"]
    assert lies(staff) is None


def test_a_closed_job_keeps_what_it_has(server: Server, staff: PageClient) -> None:
    send(staff, file=a_photo(), lying=HERE)
    with server.db.write() as session:
        session.get_one(JobRow, HARBOUR).state = "let go"
    for answer in (
        send(staff, file=a_photo()),
        staff.browser.put(f"{API}/picture", json=HERE),
        staff.browser.post(f"{API}/picture/remove", json={}),
    ):
        assert answer.status_code == 422
        assert "no longer change" in answer.text
    assert lies(staff) is not None


def test_a_picture_changed_behind_the_program_is_named(server: Server, staff: PageClient) -> None:
    send(staff, file=a_photo())
    with server.db.write() as session:
        assert check_papers.paper_faults(session) == []
        session.query(UnderlayRow).one().jpeg = b"\xff\xd8other"
        session.flush()
        assert "beneath the drawing" in check_papers.paper_faults(session)[0]


def test_nobody_sees_it_without_signing_in(server: Server, staff: PageClient) -> None:
    send(staff, file=a_photo())
    stranger = server.visitor().browser
    assert stranger.get(f"{API}/picture").status_code == 401
    assert stranger.post(f"{API}/picture", json={"file": a_photo()}).status_code == 401
    assert stranger.get(f"/jobs/{HARBOUR}/board/picture.jpg", follow_redirects=False).status_code != 200
