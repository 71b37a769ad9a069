"""Notes and photos from the roof: once each, checked, without where they were taken."""

import io
import struct
import zlib
from datetime import date, timedelta

import pytest
from PIL import Image

from app.actions.database import Database
from app.actions.errors import NotFound, Refused
from app.actions.log import entries, hold_points
from app.actions.pictures import LONGEST_PX, kept_picture
from app.actions.plans import dated
from app.actions.records import StaffMember
from app.actions.site_notes import SiteNote, add_note, photo_cards, picture_of, refuse_hold_point
from app.actions.takeoff import work_out
from tests.actions.conftest import NOW

TODAY = date(2026, 5, 4)
GPS, ORIENTATION = 0x8825, 0x0112


def a_photo(size: tuple[int, int] = (3000, 2000), form: str = "JPEG") -> bytes:
    picture = Image.new("RGB", size, "teal")
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    place = exif.get_ifd(GPS)
    place[1], place[2] = "N", (44.0, 6.0, 30.5)  # GPSLatitudeRef, GPSLatitude (Exif 2.3, table 15)
    place[3], place[4] = "W", (69.0, 6.0, 10.25)  # GPSLongitudeRef, GPSLongitude
    exif[0x010F] = "a camera"
    written = io.BytesIO()
    picture.save(written, form, exif=exif)
    return written.getvalue()


def a_bomb(width_px: int, height_px: int) -> bytes:
    """A PNG of a few hundred bytes that says it is enormous (PNG specification, 11.2.2 IHDR)."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width_px, height_px, 8, 0, 0, 0, 0)
    packed = zlib.compress(b"\0" * 100_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND", b"")


def a_note(**changes: object) -> SiteNote:
    fields: dict[str, object] = {"key": "device-key-1", "kind": "note", "on": TODAY, "text": "rain at noon"}
    return SiteNote(**(fields | changes))  # type: ignore[arg-type]


def test_a_photo_is_kept_smaller_upright_and_without_where_it_was_taken() -> None:
    sent = a_photo()
    assert Image.open(io.BytesIO(sent)).getexif().get_ifd(GPS)
    kept = kept_picture(sent)
    back = Image.open(io.BytesIO(kept.jpeg))
    assert back.format == "JPEG"
    assert max(back.size) == LONGEST_PX
    assert back.height > back.width
    assert dict(back.getexif()) == {}
    assert b"camera" not in kept.jpeg
    assert b"Exif" not in kept.jpeg


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_no_form_of_photo_keeps_its_place(form: str) -> None:
    sent = a_photo((400, 300), form)
    assert Image.open(io.BytesIO(sent)).getexif().get_ifd(GPS)[4] == (69.0, 6.0, 10.25)
    back = Image.open(io.BytesIO(kept_picture(sent).jpeg))
    assert dict(back.getexif()) == {}
    assert {"exif", "xmp", "comment", "icc_profile"} & back.info.keys() == set()


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (b"GIF89a" + b"\0" * 40, "not a photo"),
        (b"<svg xmlns='x' onload='alert(1)'/>", "not a photo"),
        (a_photo()[:900], "not a photo|not arrive whole"),
        (b"\xff\xd8" + b"\0" * 4_000_000, "up to 3.5 MB"),
        (a_photo((9000, 5000), "PNG"), "million"),
        (a_bomb(30_000, 30_000), "million|not a photo"),
        (a_bomb(2**31 - 1, 2**31 - 1), "not a photo|million"),
        (a_bomb(5_000, 5_000), "not a photo|not arrive whole"),
    ],
)
def test_what_is_no_photo_or_too_large_is_refused_in_words(
    sent: bytes, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("PIL.ImageFile.LOAD_TRUNCATED_IMAGES", True)  # as the PDF printer leaves it
    with pytest.raises(Refused, match=words):
        kept_picture(sent)


def test_a_note_sent_twice_is_kept_once_with_its_photo(db: Database, owner: StaffMember, job_id: int) -> None:
    note = a_note(picture=a_photo((400, 300)), is_before_cover=True)
    first = add_note(db, owner, job_id, note, NOW)
    assert add_note(db, owner, job_id, note, NOW + timedelta(hours=3)) == first
    assert len(entries(db, job_id)) == 1
    (card,) = photo_cards(db, job_id)
    assert card.is_before_cover
    assert picture_of(db, job_id, card.id).startswith(b"\xff\xd8")
    with pytest.raises(NotFound):
        picture_of(db, job_id, card.id + 1)


def test_hours_and_progress_say_themselves(db: Database, owner: StaffMember, job_id: int) -> None:
    add_note(db, owner, job_id, a_note(kind="hours", text="", hours_h=7.5, person="M. Tarn"), NOW)
    far = a_note(key="device-key-2", kind="progress", text="", task_code="frame", done_pct=40)
    add_note(db, owner, job_id, far, NOW)
    newest, oldest = entries(db, job_id)
    assert oldest.text == "7.5 h, M. Tarn"
    assert newest.text == "frame 40 % done"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"key": "short"}, "key of 8"),
        ({"on": date(2016, 5, 4)}, "check the date"),
        ({"kind": "song"}, "no kind of line song"),
        ({"done_pct": 140}, "140 % done"),
        ({"text": "", "hours_h": 0.0}, "Write what it is about"),
    ],
)
def test_a_note_that_cannot_be_is_refused(
    db: Database, owner: StaffMember, job_id: int, changes: dict[str, object], words: str
) -> None:
    with pytest.raises(Refused, match=words):
        add_note(db, owner, job_id, a_note(**changes), NOW)


def test_an_inspector_who_says_no_moves_the_visit_and_what_waits_for_it(
    db: Database, owner: StaffMember, job_id: int
) -> None:
    before = dated(db, work_out(db, job_id, TODAY)).answer.days
    hold = next(planned for planned in before.tasks if planned.task.code == "drainage check")
    again_on = hold.start_on + timedelta(days=7)
    with pytest.raises(Refused, match="what was wrong"):
        refuse_hold_point(db, owner, job_id, ("drainage check", "J. Rask"), "", again_on, NOW)
    refuse_hold_point(db, owner, job_id, ("drainage check", "J. Rask"), "ponds at D1", again_on, NOW)
    after = {
        planned.task.code: planned for planned in dated(db, work_out(db, job_id, TODAY)).answer.days.tasks
    }
    assert after["drainage check"].start_on >= again_on
    assert after["boards"].start_on > after["drainage check"].end_on
    assert all(point.signed_at is None for point in hold_points(db, job_id, TODAY))
    assert "did not pass" in entries(db, job_id)[0].text
