"""Presets of local law: dated, sourced, and never silently outdated."""

import re
from datetime import date, timedelta

import pytest

from app.agreement.presets import (
    LAW_PRESETS,
    PARTICULARS,
    LawPreset,
    is_old,
    law_preset,
    old_words,
    particulars_in,
    put_wording,
)
from app.agreement.presets_fr import PRESETS_FR
from app.agreement.records import Wording
from app.agreement.stages import DEPOSIT_CAPS
from app.agreement.withdrawal import PRESETS, READ_ON


@pytest.mark.parametrize("preset", LAW_PRESETS, ids=lambda one: one.code)
def test_every_preset_says_where_it_comes_from_when_and_to_check_local_law(preset: object) -> None:
    found = law_preset(getattr(preset, "code"))  # noqa: B009
    assert found is preset
    texts = [found.cancellation] + ([found.records] if found.records else [])
    for source in (found.source, *(text.source for text in texts)):
        assert source.endswith("check local law")
        assert f"{READ_ON:%Y-%m-%d}" in source
    assert found.withdrawal in {rule.code for rule in PRESETS}
    assert found.deposit_cap in {"", *(cap.code for cap in DEPOSIT_CAPS)}


def test_clocks_and_caps_carry_the_day_they_were_read() -> None:
    assert all(rule.read_on == READ_ON for rule in PRESETS)
    assert all(cap.read_on == READ_ON for cap in DEPOSIT_CAPS)


@pytest.mark.parametrize(
    ("read_on", "today", "months", "old"),
    [
        (date(2026, 1, 31), date(2026, 2, 28), 1, False),
        (date(2026, 1, 31), date(2026, 3, 1), 1, True),
        (READ_ON, READ_ON + timedelta(days=365), 12, False),
        (READ_ON, READ_ON + timedelta(days=366), 12, True),
        (None, READ_ON, 60, True),
    ],
)
def test_a_preset_older_than_its_age_says_so(
    read_on: date | None, today: date, months: int, old: bool
) -> None:
    assert is_old(read_on, today, months) is old
    words = old_words("The clock", read_on, today, months)
    assert bool(words) is old
    assert not old or "read the law again" in words


def test_a_preset_takes_the_place_of_the_texts_of_its_code_alone() -> None:
    preset = law_preset("us-ca")
    assert preset is not None
    mine = (Wording("terms", "Terms", "Mine", ""), Wording("cancellation", "Old", "Old", ""))
    codes = {text.code: text for text in put_wording(mine, preset)}
    assert codes["terms"].text == "Mine"
    assert "three business days" in codes["cancellation"].text
    assert "paper" in codes["records"].text
    assert "trois jours ouvrés" in codes["cancellation.fr"].text
    assert "papier" in codes["records.fr"].text


@pytest.mark.parametrize("preset", LAW_PRESETS, ids=lambda one: one.code)
def test_every_preset_is_there_in_the_second_language_as_a_translation_to_be_checked(
    preset: LawPreset,
) -> None:
    words = PRESETS_FR[preset.code]
    pairs = [(preset.cancellation, words.cancellation)]
    assert (words.records is None) is (preset.records is None)
    pairs += [(preset.records, words.records)] if preset.records and words.records else []
    for english, french in pairs:
        assert french.code == f"{english.code}.fr"
        assert french.text != english.text
        assert "traduction" in french.source
        assert "à vérifier" in french.source
        assert french.source.endswith("check local law")
        assert len(re.findall(r"\d+", french.text)) == len(re.findall(r"\d+", english.text))
    said = particulars_in(preset.code)
    assert set(said) == {f"{name}.fr" for name in PARTICULARS if getattr(preset, name)}


def test_no_preset_asks_for_a_number_that_is_never_kept() -> None:
    for preset in LAW_PRESETS:
        said = " ".join([preset.lien_notice, preset.escrow, preset.complaints, preset.cancellation.text])
        assert "social security" not in said.lower()
