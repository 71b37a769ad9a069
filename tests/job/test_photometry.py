"""Photometric files: what conforms is read whole, what does not is told with its line, whatever is typed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.job.photometry import read_photometry
from app.measure.errors import InputError

GOLDEN = """IES:LM-63-2019
[TEST] own
[MORE] and continued
[TESTLAB] none
[ISSUEDATE] 2026-03-02
[MANUFAC] invented
TILT=NONE
1 -1 2.0 10 1 1 2 0 0 0
1.0 1.00001 5.0
0 10 20 30 40 50 60 70 80 90
0
50 49.2404 46.9846 43.3013 38.3022 32.1394 25.0 17.101 8.6824 0.0
"""


def lines(*changes: tuple[int, str]) -> str:
    rows = GOLDEN.splitlines()
    for number, text in changes:
        rows[number - 1] = text
    return "\n".join(rows) + "\n"


def test_a_conforming_file_is_read_whole() -> None:
    file = read_photometry(GOLDEN)
    assert (file.edition, file.kind, file.lamp_lm, file.power_w) == ("2019", "C", -1.0, 5.0)
    assert file.keywords[0] == ("TEST", "own and continued")
    assert file.candela[0][0] == 100.0
    assert file.candela[0][6] == 50.0
    assert file.remarks == ()


def test_commas_and_line_breaks_are_free_and_tilt_may_be_included() -> None:
    text = lines(
        (7, "TILT=INCLUDE\n1\n3\n0 45 90\n1.0 .9 .8"),
        (8, "1,-1,2.0,10,1\n1 2"),
        (9, "0 0 0 1.0 1.00001 5.0"),
    )
    assert read_photometry(text).candela == read_photometry(GOLDEN).candela


def test_an_old_file_has_free_labels_and_its_ballast_lamp_factor_counts() -> None:
    body = "\n".join(GOLDEN.splitlines()[6:]).replace("1.0 1.00001 5.0", "1.0 0.5 5.0")
    old = read_photometry(f"an old lamp\nof no brand\n{body}")
    assert (old.edition, old.candela[0][0]) == ("1986", 50.0)
    later = read_photometry(f"IESNA:LM-63-2002\n{body}")
    assert later.candela[0][0] == 100.0


def test_several_planes_are_read_block_by_block() -> None:
    text = lines((8, "1 -1 1 2 3 1 2 0 0 0"), (10, "0 90"), (11, "0 90 180"), (12, "1 2\n3 4\n5 6"))
    file = read_photometry(text)
    assert file.horizontal_deg == (0.0, 90.0, 180.0)
    assert file.candela == ((1.0, 2.0), (3.0, 4.0), (5.0, 6.0))


def test_what_the_edition_asks_for_and_the_file_lacks_is_a_remark() -> None:
    (remark,) = read_photometry(lines((4, "[OTHER] x"), (6, "[LAMP] x"))).remarks
    assert "TESTLAB, MANUFAC" in remark


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("", 1, "no line TILT="),
        ("IESNA:LM-63-2050\n", 1, "no edition known"),
        (lines((2, "TEST own")), 2, "keyword in square brackets"),
        (lines((2, "[MORE] x")), 2, "continues nothing"),
        (lines((7, "TILT=lamp.tlt")), 7, "names another file"),
        (lines((8, "1 -1 2.0 10 one 1 2 0 0 0")), 8, "count of horizontal angles is no number: one"),
        (lines((8, "1 -1 2.0 1e9 1 1 2 0 0 0")), 8, "count of vertical angles must be a whole number"),
        (lines((8, "1 -1 2.0 10.5 1 1 2 0 0 0")), 8, "whole number"),
        (lines((8, "1 -1 -2.0 10 1 1 2 0 0 0")), 8, "must be above 0"),
        (lines((8, "1 -1 2.0 10 1 2 2 0 0 0")), 11, "only type C"),
        (lines((8, "1 -1 2.0 10 1 1 3 0 0 0")), 8, "the unit"),
        (lines((10, "0 10 20 30 40 50 60 70 70 90")), 10, "must rise; 70 follows 70"),
        (lines((10, "0 10 20 30 40 50 60 70 80 85")), 11, "run from 0 or 90 to 90 or 180"),
        (lines((11, "45")), 11, "horizontal angles of type C"),
        (lines((12, "50 49")), 12, "the file ends before intensity 3 of 10"),
        (lines((12, "50 -1" + " 1" * 8)), 12, "cannot be below 0"),
        (lines((12, "1 " * 10 + "7")), 12, "should end after the last intensity, but 7"),
        (lines((12, "nan " * 10)), 12, "no number: nan"),
        (lines((12, "1e999 " * 10)), 12, "out of all measure"),
    ],
)
def test_a_malformed_file_is_told_with_its_line(text: str, line: int, words: str) -> None:
    with pytest.raises(InputError) as told:
        read_photometry(text)
    assert told.value.value == f"line {line}"
    assert words in told.value.wanted


def only_reads_or_tells(text: str) -> None:
    told = ""
    try:
        file = read_photometry(text)
    except InputError as fault:
        told = fault.wanted
    if told:
        assert "line" in told
        return
    assert len(file.candela) == len(file.horizontal_deg)
    assert all(len(row) == len(file.vertical_deg) and min(row) >= 0 for row in file.candela)


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_read_or_told(text: str) -> None:
    only_reads_or_tells(text)


@settings(max_examples=50, deadline=None)
@given(
    st.integers(1, 12),
    st.lists(
        st.sampled_from(
            ["0", "1", "90", "-1", "1e9", "1000", "x", "", "TILT=NONE", "[A] b", ".5", "nan", "360"]
        ),
        max_size=20,
    ),
)
def test_a_line_written_over_is_read_or_told(number: int, words: list[str]) -> None:
    only_reads_or_tells(lines((number, " ".join(words))))


@settings(max_examples=50, deadline=None)
@given(st.integers(0, len(GOLDEN)), st.integers(0, len(GOLDEN)), st.text(max_size=12))
def test_a_stretch_cut_out_and_filled_is_read_or_told(start: int, stop: int, filled: str) -> None:
    only_reads_or_tells(GOLDEN[: min(start, stop)] + filled + GOLDEN[max(start, stop) :])
