from pathlib import Path

import pytest

from app.settings import MIGRATIONS, SEED_DATA, SHARED, STATIC, TEMPLATES, Settings


def test_every_setting_is_read_from_its_variable(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("UPSTAND_DATA_DIR", str(tmp_path))
    monkeypatch.setenv("UPSTAND_PORT", "9001")
    monkeypatch.setenv("UPSTAND_DEMO", "1")
    monkeypatch.setenv("UPSTAND_SECURE_COOKIES", "1")
    settings = Settings()
    assert settings.url == f"sqlite:///{tmp_path / 'upstand.sqlite'}"
    assert (settings.port, settings.demo, settings.secure_cookies) == (9001, True, True)
    assert settings.address == "http://localhost:9001"


def test_a_named_database_and_address_win(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("UPSTAND_DATABASE_URL", "postgresql+psycopg://u@h/d")
    monkeypatch.setenv("UPSTAND_BASE_URL", "https://roof.example/")
    assert Settings().url == "postgresql+psycopg://u@h/d"
    assert Settings().address == "https://roof.example"


def test_all_folders_are_found_from_one_constant() -> None:
    assert all(folder.is_dir() for folder in (MIGRATIONS, SEED_DATA, SHARED, STATIC, TEMPLATES))
