"""The table of results parses, and a loss against the row before is told."""

from pathlib import Path

import pytest

from tests.bench import results
from tests.bench.results import COLUMNS, HEAD, NOT_MEASURED, Column, line, losses, rows_of
from tests.bench.wrk import read_wrk

WRK = """Running 4s test @ http://127.0.0.1:8080/offer
  1 threads and 8 connections
  Thread Stats   Avg      Stdev     Max   +/- Stdev
    Latency    21.92ms    9.77ms  98.02ms   83.21%
    Req/Sec   374.20     52.14   474.00     75.00%
  Latency Distribution
     50%   20.15ms
     75%   24.88ms
     90%   32.07ms
     99%    1.20s
  1494 requests in 4.01s, 71.21MB read
  Socket errors: connect 0, read 2, write 0, timeout 1
  Non-2xx or 3xx responses: 4
Requests/sec:    372.47
Transfer/sec:     17.75MB
"""


def test_every_row_of_the_kept_table_has_a_commit_and_figures() -> None:
    rows = rows_of(results.RESULTS.read_text(encoding="utf-8"))
    for row in rows:
        commit = row["commit"].removesuffix("+")
        assert len(commit) >= 7, row
        assert set(commit) <= set("0123456789abcdef"), row
        figures = [row[column.title] for column in COLUMNS]
        assert all(one == NOT_MEASURED or float(one) >= 0 for one in figures), row
        assert any(one != NOT_MEASURED for one in figures), row


def test_a_limit_is_kept_on_the_side_that_its_sign_says() -> None:
    assert Column("rate", "≥ 50").keeps(50)
    assert not Column("rate", "≥ 50").keeps(49.9)
    assert Column("time", "≤ 1.3").keeps(1.3)
    assert not Column("time", "≤ 1.3").keeps(1.31)
    assert Column("time").keeps(1e9)


def test_what_is_a_fifth_worse_is_told_and_what_is_better_or_not_measured_is_not() -> None:
    before = dict.fromkeys(HEAD, "100")
    share, slower = COLUMNS[0], COLUMNS[1]
    assert losses(before, before | {share.title: "79", slower.title: "121"}) == [
        f"{share.name}: 100 before, 79 now",
        f"{slower.name}: 100 before, 121 now",
    ]
    assert losses(before, before | {share.title: "200", slower.title: "1"}) == []
    assert losses(before, before | {share.title: NOT_MEASURED}) == []
    assert losses(before | {slower.title: "0"}, before | {slower.title: "1"}) != []


def test_a_table_that_is_cut_or_has_another_head_is_refused() -> None:
    rule = line(tuple("---" for _ in HEAD))
    assert rows_of(f"{line(HEAD)}\n{rule}\n{line(HEAD)}") == [dict(zip(HEAD, HEAD, strict=True))]
    with pytest.raises(ValueError, match="another head"):
        rows_of(f"{line(HEAD[:-1])}\n{rule}")
    with pytest.raises(ValueError, match="cells instead of"):
        rows_of(f"{line(HEAD)}\n{rule}\n{line(HEAD[:-1])}")


def test_a_run_that_is_kept_is_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BENCH_COMMIT", "0123abcde")
    monkeypatch.setattr(results, "_noted", {})
    kept = tmp_path / "RESULTS.md"
    kept.write_text(f"{line(HEAD)}\n{line(tuple('---' for _ in HEAD))}\n", encoding="utf-8")
    assert "kept" in results.note("PDF, × renderer alone", 1.1)
    assert "NOT KEPT" in results.note("PDF, × renderer alone", 2.25)
    assert results.keep(0.5, kept) == []
    results.note("PDF, × renderer alone", 3.0)
    assert results.keep(0.5, kept) == ["PDF, × renderer alone: 2.25 before, 3 now"]
    rows = rows_of(kept.read_text(encoding="utf-8"))
    assert [row["PDF, × renderer alone (≤ 1.3)"] for row in rows] == ["2.25", "3"]
    assert rows[0]["commit"].startswith("0123abcde")


def test_what_the_loader_prints_is_read_with_its_failures() -> None:
    assert read_wrk(WRK) == (372.47, 20.15, 1200.0, 7)
