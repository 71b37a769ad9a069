import json
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from app.actions.answer_json import plain
from app.actions.database import migrate, open_database
from app.actions.shop_files import put_shop_files, read_shop_files
from app.cli import main
from app.cli.parser import make_parser
from app.cli.tables import amount_text, table
from app.job.file import write_job
from app.settings import SEED_DATA, Settings
from app.store.upgrade import go_to
from tests.builders import a_job

DAYS = ["--today", "2026-05-04", "--start", "2026-06-01"]


@pytest.fixture(autouse=True)
def a_data_folder_of_its_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("UPSTAND_DATA_DIR", str(tmp_path / "data"))


@pytest.fixture
def document() -> dict[str, Any]:
    return write_job(a_job())


@pytest.fixture
def job_file(tmp_path: Path, document: dict[str, Any]) -> str:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    return str(path)


def test_takeoff_prints_tables_in_the_jobs_own_system(
    job_file: str, tmp_path: Path, document: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["takeoff", job_file, *DAYS]) == 0
    metric = capsys.readouterr().out
    assert "the demo shop (invented prices)" in metric
    assert " m²" in metric
    assert "ft²" not in metric
    document["units"] = "imperial"
    Path(job_file).write_text(json.dumps(document), encoding="utf-8")
    assert main(["takeoff", job_file, *DAYS]) == 0
    assert "ft²" in capsys.readouterr().out


@pytest.mark.parametrize("command", ["takeoff", "price", "days"])
def test_json_is_one_object_with_the_ids_of_the_job_file(
    command: str, job_file: str, document: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, job_file, "--json", *DAYS]) == 0
    printed = capsys.readouterr()
    answer = json.loads(printed.out)
    assert printed.err == ""
    assert (answer["answer"], answer["version"], answer["job"]["id"]) == (command, 1, document["id"])
    assert main([command, job_file, "--json", *DAYS]) == 0
    assert capsys.readouterr().out == printed.out


def test_the_json_of_the_takeoff_names_places_of_the_job_file(
    job_file: str, document: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    main(["takeoff", job_file, "--json", *DAYS])
    answer = json.loads(capsys.readouterr().out)
    fields = {field["id"] for field in document["plan"]["deck_fields"]}
    deck = next(quantity for quantity in answer["quantities"] if quantity["basis"] == "deck.area")
    assert {place["place"] for place in deck["places"]} == fields
    assert {piece["place"] for piece in answer["pieces"]} >= fields
    for key in ("roof", "sticks", "pads", "runs", "circuits", "cut_plans", "loads", "carry", "findings"):
        assert key in answer


def test_the_json_of_the_price_adds_up(job_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    main(["price", job_file, "--json", *DAYS])
    answer = json.loads(capsys.readouterr().out)
    cents = [round(float(phase["price"]) * 100) for phase in answer["phases"]]
    assert sum(cents) == round(float(answer["price"]) * 100)
    assert answer["prices"] == {"from": "the demo shop (invented prices)", "as_of": "2026-05-04"}


def test_days_start_on_the_day_named_with_the_crew_named(
    job_file: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["days", job_file, "--crew", "south", *DAYS]) == 0
    printed = capsys.readouterr().out
    assert "South quay crew, 3 people; from Mon 2026-06-01" in printed
    assert "hold point" in printed


def test_faults_are_all_listed_with_place_value_and_what_would_do(
    job_file: str, document: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    document["survey"]["way_up"]["trip_mass"] = "-3 kg"
    document["survey"]["membrane"]["colour"] = "grey"
    Path(job_file).write_text(json.dumps(document), encoding="utf-8")
    assert main(["price", job_file]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert "2 faults" in printed.err
    assert 'survey.way_up.trip_mass: "-3 kg"' in printed.err
    assert "survey.membrane.colour" in printed.err
    assert main(["price", job_file, "--json"]) == 2
    refusal = json.loads(capsys.readouterr().err)
    assert {fault["path"] for fault in refusal["faults"]} == {
        "survey.way_up.trip_mass",
        "survey.membrane.colour",
    }


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (None, "cannot be read"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"{", "not JSON"),
        (b"[]", "one JSON object"),
    ],
)
def test_a_file_that_is_no_job_file_is_wrong_input(
    tmp_path: Path, content: bytes | None, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "x.json"
    if content is not None:
        path.write_bytes(content)
    assert main(["takeoff", str(path)]) == 2
    assert message in capsys.readouterr().err


def test_an_unknown_crew_and_a_folder_that_is_no_shop_are_wrong_input(
    job_file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["days", job_file, "--crew", "west"]) == 2
    assert "no crew west; it has north, south" in capsys.readouterr().err
    assert main(["price", job_file, "--shop", str(tmp_path)]) == 2
    faults = capsys.readouterr().err
    assert "firm.json" in faults
    assert "prices.csv" in faults


@pytest.mark.parametrize(
    "arguments", [["takeoff"], ["days", "x", "--start", "4.5.2026"], ["serve", "--port", "99999"], []]
)
def test_what_cannot_be_a_command_is_wrong_input(
    arguments: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert left.value.code == 2
    assert "usage: upstand" in capsys.readouterr().err


def test_the_shops_own_folder_can_be_named(job_file: str, capsys: pytest.CaptureFixture[str]) -> None:
    folder = SEED_DATA / "shop"
    assert main(["price", job_file, "--shop", str(folder), *DAYS]) == 0
    assert f"Prices: the shop in {folder}" in capsys.readouterr().out


def test_the_shop_of_the_data_folder_comes_before_the_demos(
    job_file: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    url = Settings().url
    migrate(url)
    assert main(["price", job_file, *DAYS]) == 0
    assert "the demo shop" in capsys.readouterr().out
    db = open_database(url)
    with db.write() as session:
        put_shop_files(session, read_shop_files(SEED_DATA / "shop"), "Test", datetime(2026, 5, 4, tzinfo=UTC))
    assert main(["price", job_file, *DAYS]) == 0
    assert "Prices: the shop of Skerrow Roof Carpentry" in capsys.readouterr().out
    assert main(["backup", str(tmp_path / "b.sqlite")]) == 0
    assert "checked whole" in capsys.readouterr().out
    assert main(["restore", str(tmp_path / "b.sqlite")]) == 0
    go_to(db, "base")
    db.close()
    assert main(["price", job_file, *DAYS]) == 1
    assert "another version of the program" in capsys.readouterr().err


def test_a_proposal_is_written_whole_or_not_at_all(
    job_file: str, tmp_path: Path, document: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "proposal.pdf"
    arguments = ["proposal", job_file, "-o", str(target), "--client", "Ines Haugan", *DAYS]
    assert main(arguments) == 0
    assert target.read_bytes().startswith(b"%PDF-")
    target.unlink()
    document["survey"]["allowable_load"] = None
    Path(job_file).write_text(json.dumps(document), encoding="utf-8")
    assert main(arguments) == 1
    assert "Settle what stops the job" in capsys.readouterr().err
    assert main(["proposal", job_file, "-o", str(tmp_path / "no" / "p.pdf")]) == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.json"]


def test_backup_without_a_database_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["backup", str(tmp_path / "b.sqlite")]) == 1
    assert "nothing to back up" in capsys.readouterr().err
    assert main(["restore", str(tmp_path / "b.sqlite")]) == 1
    assert "There is no file" in capsys.readouterr().err


def test_check_proves_a_whole_database_and_names_what_was_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check"]) == 1
    assert "nothing to check" in capsys.readouterr().err
    migrate(Settings().url)
    db = open_database(Settings().url)
    with db.write() as session:
        put_shop_files(session, read_shop_files(SEED_DATA / "shop"), "Ada", datetime.now(UTC))
    db.close()
    assert main(["check", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["faults"] == []


def test_a_firm_is_exported_and_imported_elsewhere(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    migrate(Settings().url)
    db = open_database(Settings().url)
    with db.write() as session:
        put_shop_files(session, read_shop_files(SEED_DATA / "shop"), "Ada", datetime.now(UTC))
    db.close()
    assert main(["export", str(tmp_path / "firm.zip")]) == 0
    assert main(["import", str(tmp_path / "firm.zip")]) == 1
    assert "not empty" in capsys.readouterr().err
    monkeypatch.setenv("UPSTAND_DATA_DIR", str(tmp_path / "elsewhere"))
    assert main(["import", str(tmp_path / "firm.zip")]) == 0
    assert "price_items" in capsys.readouterr().out
    assert main(["check"]) == 0


def test_every_command_explains_itself() -> None:
    parser = make_parser()
    whole = parser.format_help()
    for command in ("serve", "takeoff", "price", "days", "proposal", "backup", "restore"):
        assert command in whole
        done = subprocess.run(
            [sys.executable, "-m", "app.cli", command, "--help"], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0
        assert "usage: upstand" in done.stdout


def test_a_fault_shows_no_traceback_and_a_closed_pipe_no_complaint(job_file: str) -> None:
    wrong = subprocess.run(
        [sys.executable, "-m", "app.cli", "price", "no-such-file"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert wrong.returncode == 2
    assert "Traceback" not in wrong.stderr
    piped = subprocess.run(
        f"{sys.executable} -m app.cli takeoff {job_file} --json | head -c 10",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert piped.stderr == ""


def test_help_does_not_wait_for_the_engine() -> None:
    code = (
        "import sys, app.cli; print([m for m in ('shapely', 'sqlalchemy', 'weasyprint') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_columns_are_as_wide_as_their_widest_cell() -> None:
    assert table(("a", "n"), [("long", "1"), ("b", "1000")], right=(1,)).splitlines() == [
        "  a        n",
        "  ────  ────",
        "  long     1",
        "  b     1000",
    ]
    assert table(("a",), []) == "  (none)"


@pytest.mark.parametrize(
    ("amount", "unit", "system", "text"),
    [
        (4821, "each", "metric", "4,821"),
        (6.833, "each", "metric", "6.83"),
        (5.92, "m", "metric", "5.92 m"),
        (3.048, "m", "imperial", "10' 0\""),
        (25.8, "m2", "imperial", "277.7 ft²"),
        (0.137, "m3", "metric", "0.137 m³"),
        (763, "kg", "imperial", "1682.1 lb"),
    ],
)
def test_amounts_are_shown_in_the_readers_units(amount: float, unit: str, system: str, text: str) -> None:
    assert amount_text(amount, unit, system) == text


def test_records_become_json_without_functions_or_loss() -> None:
    assert plain({"a": (1, 2.5, None), "b": True}) == {"a": [1, 2.5, None], "b": True}
