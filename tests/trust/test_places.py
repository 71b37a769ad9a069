"""The container and the service: what they copy is there and is enough, and what they call is a command."""

import configparser
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

from app.settings import ROOT, Settings

CONTAINER = (ROOT / ".deploy" / "Containerfile").read_text(encoding="utf-8")
UNIT = ROOT / ".deploy" / "upstand.service"


def copied() -> list[str]:
    """What the container takes from the checkout."""
    lines = re.findall(r"^COPY (?!--from)(.+)$", CONTAINER, re.M)
    return [source for line in lines for source in line.split()[:-1]]


def test_what_the_container_copies_is_enough_to_serve(tmp_path: Path) -> None:
    place = tmp_path / "opt"
    place.mkdir()
    for source in copied():
        whole = ROOT / source
        assert whole.exists(), source
        if whole.is_dir():
            shutil.copytree(whole, place / source, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(whole, place / source)
    environment = {"PATH": os.environ["PATH"], "UPSTAND_DATA_DIR": str(tmp_path / "data")}
    # From the copy alone: migrations, pages, styles, published tables and the demo's shop are there.
    script = (
        "import app; from app.actions.shop_files import read_shop_files; from app.main import create_app\n"
        "from app.settings import SEED_DATA; from starlette.testclient import TestClient\n"
        f"assert app.__path__[0].startswith({str(place)!r}), app.__path__\n"
        "assert read_shop_files(SEED_DATA / 'shop')\n"
        "with TestClient(create_app()) as client:\n"
        "    for path in ('/ready', '/start', '/static/css/base.css', '/health'):\n"
        "        print(path, client.get(path).status_code)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        cwd=place,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert re.findall(r"^(/\S+) 200$", done.stdout, re.M) == [
        "/ready",
        "/start",
        "/static/css/base.css",
        "/health",
    ]


def test_what_the_container_and_the_service_set_are_settings_there_are() -> None:
    known = {f"UPSTAND_{name.upper()}" for name in Settings.model_fields}
    set_here = set(re.findall(r"UPSTAND_\w+", CONTAINER + UNIT.read_text(encoding="utf-8")))
    assert set_here
    assert set_here <= known


def test_both_call_the_command_and_stop_it_as_it_wants_to_be_stopped() -> None:
    unit = UNIT.read_text(encoding="utf-8")
    assert re.search(r"^ExecStart=\S+/upstand serve$", unit, re.M)
    assert 'ENTRYPOINT ["/opt/upstand/.venv/bin/upstand"]\nCMD ["serve"]' in CONTAINER
    assert "STOPSIGNAL SIGTERM" in CONTAINER
    assert "KillSignal=SIGTERM" in unit
    wait = re.search(r"^TimeoutStopSec=(\d+)$", unit, re.M)
    assert wait
    assert int(wait[1]) > 30, "requests under way have 30 s"


def test_systemd_finds_nothing_to_say_about_the_service(tmp_path: Path) -> None:
    command = Path(sys.executable).with_name("upstand")
    unit = tmp_path / "upstand.service"
    unit.write_text(UNIT.read_text("utf-8").replace("/opt/upstand/.venv/bin/upstand", str(command)), "utf-8")
    read = configparser.ConfigParser(strict=False, interpolation=None, delimiters=("=",))
    read.read(unit, "utf-8")
    assert read.sections() == ["Unit", "Service", "Install"]
    verifier = shutil.which("systemd-analyze")
    if verifier is not None:
        done = subprocess.run([verifier, "verify", str(unit)], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
