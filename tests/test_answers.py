import json
import re

import pytest

from app.cli import main
from app.settings import SEED_DATA
from tests.answers import ANSWERS, document, keys_of

HEAD_KEYS = {"answer", "version", "job", "job.id", "job.title", "job.units", "job.currency"}
PRICE_KEYS = {"prices", "prices.from", "prices.as_of"}


@pytest.mark.parametrize("command", ["takeoff", "price", "days"])
def test_every_key_of_an_answer_is_described(
    command: str, monkeypatch: pytest.MonkeyPatch, tmp_path: object, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("UPSTAND_DATA_DIR", f"{tmp_path}/none")
    job_file = SEED_DATA / "jobs" / "harbour-workshop.json"
    assert main([command, str(job_file), "--json", "--today", "2026-05-04"]) == 0
    printed = keys_of(json.loads(capsys.readouterr().out))
    part = ANSWERS.read_text(encoding="utf-8").partition(f"## {command}\n")[2].partition("\n## ")[0]
    described = {key.replace("[]", "") for key in re.findall(r"^\| `([^`]+)`", part, flags=re.MULTILINE)}
    missing = {key.replace("[]", "") for key in printed} - described - HEAD_KEYS - PRICE_KEYS
    assert missing == set()


def test_the_description_is_that_of_the_records() -> None:
    assert ANSWERS.read_text(encoding="utf-8") == document(), "run: python -m tests.answers"
