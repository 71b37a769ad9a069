"""Presets of local law by region: what they set, where it was read and when, and when that is too old."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from app.agreement.presets_fr import PRESETS_FR
from app.agreement.records import Wording
from app.agreement.withdrawal import READ_ON, add_months

# A preset is to be read again after this long. Common practice, no source: laws change by the year.
FRESH_MONTHS = 12
# What of a preset stands among the firm's particulars.
PARTICULARS: tuple[str, ...] = ("heading", "lien_notice", "escrow", "complaints", "change_rule")


@dataclass(frozen=True, slots=True)
class LawPreset:
    """What one region's law asks of an offer; to be checked against local law before it is relied on.

    Attributes
    ----------
    code, name : str
    withdrawal, deposit_cap : str
        Codes of the clock and of the cap on deposits; empty where the law read names none.
    heading : str
        Name of the kind of contract.
    lien_notice, escrow, complaints, change_rule : str
        Particulars, for the firm to complete; empty where the law read asks for none.
    asks_records_consent : bool
        Consent to electronic records comes first.
    cancellation, records : Wording
        The statement beside the signature, and the words before consent to electronic records.
    source : str
        Law, how it was read; ends with "check local law".
    read_on : date
        When it was last read.
    tax_inside : bool
        Consumers are to be shown prices with the tax in them.
    """

    code: str
    name: str
    withdrawal: str
    deposit_cap: str
    heading: str
    lien_notice: str
    escrow: str
    complaints: str
    change_rule: str
    asks_records_consent: bool
    cancellation: Wording
    records: Wording | None
    source: str
    read_on: date = READ_ON
    tax_inside: bool = False


def is_old(read_on: date | None, today: date, months: int = FRESH_MONTHS) -> bool:
    """Tell whether a preset was read too long ago to be used unread.

    Parameters
    ----------
    read_on : date or None
        When its source was last read; None counts as old.
    today : date
        The day it is to be used on.
    months : int
        How long a reading holds.

    Returns
    -------
    is_old : bool

    Examples
    --------
    >>> is_old(date(2026, 11, 25), date(2027, 11, 25)), is_old(date(2026, 11, 25), date(2027, 11, 26))
    (False, True)

    References
    ----------
    Common practice, no source.
    """
    return read_on is None or today > add_months(read_on, months)


def old_words(name: str, read_on: date | None, today: date, months: int = FRESH_MONTHS) -> str:
    """Say that a preset is too old, or nothing.

    Parameters
    ----------
    name : str
        Of the preset.
    read_on : date or None
        When its source was last read.
    today : date
        The day it is to be used on.
    months : int
        How long a reading holds.

    Returns
    -------
    words : str
        A sentence for the office; empty while the preset is fresh.

    References
    ----------
    Common practice, no source.
    """
    if not is_old(read_on, today, months):
        return ""
    when = f"was last read on {read_on:%Y-%m-%d}" if read_on else "carries no day on which it was read"
    return (
        f"{name} {when}, more than {months} months before {today:%Y-%m-%d}: read the law again, have it "
        "checked, and say so below."
    )


def law_preset(code: str) -> LawPreset | None:
    """Give the preset of one region.

    Parameters
    ----------
    code : str
        Of the presets.

    Returns
    -------
    preset : LawPreset or None
        None when there is none by that code.

    References
    ----------
    Each preset names its own.
    """
    return next((one for one in LAW_PRESETS if one.code == code), None)


def put_wording(wording: Iterable[Wording], preset: LawPreset) -> tuple[Wording, ...]:
    """Give the shop's wording with the texts of a preset in it, in every language there is.

    Parameters
    ----------
    wording : iterable of Wording
        The shop's, in its order.
    preset : LawPreset
        Its texts take the place of those of the same code.

    Returns
    -------
    wording : tuple of Wording
        Same order; a text that was not there stands last.

    References
    ----------
    Definition.
    """
    french = PRESETS_FR[preset.code]
    texts = (preset.cancellation, preset.records, french.cancellation, french.records)
    new = {text.code: text for text in texts if text is not None}
    kept = tuple(new.pop(text.code, text) for text in wording)
    return (*kept, *new.values())


_READ = f"gathered {READ_ON:%Y-%m-%d}"
_ESIGN = Wording(
    "records",
    "Electronic records",
    "Before you agree: you have a right to this on paper, and may have it now or later; ask us what that "
    "costs. You may take your agreement back at any time; what was signed before stays signed, and what "
    "follows then comes on paper. The agreement covers this job alone: its proposal, changes, notices and "
    "invoices. Tell us when your e-mail address changes. You need a browser and a program that opens PDF "
    "files.",
    f"after 15 USC 7001(c)(1), from copies, {_READ}; check local law",
)


def particulars_in(code: str) -> dict[str, str]:
    """Give a preset's particulars in the other languages, as the terms keep them.

    Parameters
    ----------
    code : str
        Of the presets.

    Returns
    -------
    particulars : dict of str to str
        ``heading.fr`` and the words; translations to be checked. What the law read asks for none of is out.

    References
    ----------
    Each preset names its own.
    """
    words = PRESETS_FR[code]
    said = {f"{name}.fr": str(getattr(words, name)) for name in PARTICULARS}
    return {name: text for name, text in said.items() if text}


def _cancellation(text: str, source: str) -> Wording:
    """Make the statement beside the signature."""
    return Wording("cancellation", "Your right to cancel", text, f"{source}, {_READ}; check local law")


_THREE_DAYS = (
    "You, the buyer, may cancel this transaction at any time prior to midnight of the third business day "
    "after the date of this transaction. See the attached notice of cancellation form for an explanation of "
    "this right."
)
_FTC = _cancellation(_THREE_DAYS, "statement of 16 CFR 429.1(a), from memory of the text")
_FOURTEEN = (
    "You may cancel this contract within 14 days without giving any reason. The time runs out 14 days after "
    "the day on which it was concluded.\n\nTo cancel, tell us by a clear statement, such as a letter or an "
    "e-mail; the form that comes with this proposal will do, and so will the button on your page. It is "
    "enough that you send it before the time has run out.\n\nIf you cancel, we pay back what we have had "
    "from you without undue delay, within 14 days. We start inside that time only if you ask us to in "
    "writing; you then pay for what was done up to your notice."
)

LAW_PRESETS: tuple[LawPreset, ...] = (
    LawPreset(
        "us-federal",
        "United States, sale at the buyer’s home",
        "us-federal",
        "",
        "",
        "",
        "",
        "",
        "",
        True,
        _FTC,
        _ESIGN,
        f"16 CFR 429 (scope and refund from copies), 15 USC 7001(c), {_READ}; check local law",
    ),
    LawPreset(
        "us-ca",
        "California, home improvement",
        "us-ca",
        "us-ca",
        "Home improvement contract",
        "Anyone who helps improve your property and is not paid may record a lien on it. Complete this "
        "notice as the Contractors State License Board words it, in bold.",
        "",
        "Contractors State License Board: complete address, telephone and site.",
        "Extra work and changes become part of this contract only when both have signed a written change "
        "order before the work it covers.",
        True,
        _cancellation(
            "You, the buyer, have the right to cancel this contract within three business days, five if you "
            "are 65 or over. Do so by letter, by e-mail or by telephone; address and number stand on "
            "the first page. See the attached notice of cancellation form.",
            "after California BPC 7159 as amended 2025, from copies",
        ),
        _ESIGN,
        f"California BPC 7159 and 7159.5, opening read, the rest from copies, {_READ}; check local law",
    ),
    LawPreset(
        "us-ny",
        "New York, home improvement",
        "us-ny",
        "",
        "Home improvement contract",
        "Any contractor, subcontractor or material supplier who is not paid may have a claim against the "
        "owner, enforceable against the property under the lien laws.",
        "What you pay before completion is put into an escrow account in New York within five business days, "
        "or secured by a bond; we tell you the bank within ten. Complete name and address of the bank.",
        "",
        "Changes are made in writing and signed by all parties.",
        True,
        _cancellation(
            "You may cancel this contract until midnight of the third business day after the day on which "
            "you signed it, by written notice to us.",
            "after New York GBL 771(1), (a) to (d) read, the rest from copies",
        ),
        _ESIGN,
        f"New York GBL 771(1)(a)–(d) read, the rest from copies, {_READ}; check local law",
    ),
    LawPreset(
        "us-ma",
        "Massachusetts, home improvement",
        "us-ma",
        "us-ma",
        "Home improvement contract",
        "Anyone who works on or supplies this job and is not paid may have a lien on the property. Complete "
        "this notice as counsel words it, in bold.",
        "",
        "Office of Consumer Affairs: complete address, telephone, and your registration number.",
        "Changes are made in writing and signed by both before the changed work starts.",
        True,
        _cancellation(
            _THREE_DAYS, "after Massachusetts c. 93 §48 and c. 142A §2, the time to cancel from memory"
        ),
        _ESIGN,
        f"Massachusetts c. 142A §2(a)(1)–(8) read; it lists numbers that are never kept here, {_READ}; "
        "check local law",
    ),
    LawPreset(
        "ca-on",
        "Ontario, direct agreement",
        "ca-on",
        "ca-on",
        "",
        "",
        "",
        "Consumer protection ministry: complete address and telephone.",
        "The final price is at most the estimate and ten per cent, unless you sign a change.",
        False,
        _cancellation(
            "You may cancel this agreement, without any reason, within ten days after you received a written "
            "copy of it. If you cancel, we pay back what you paid within 15 days.",
            "after Ontario CPA 2002 by the ministry's guide",
        ),
        None,
        f"Ontario CPA 2002 and O. Reg. 17/05 by the ministry's guide; the act of 2023 awaits its rules, "
        f"{_READ}; check local law",
    ),
    LawPreset(
        "gb",
        "United Kingdom, off-premises or distance",
        "gb",
        "",
        "",
        "",
        "",
        "Complete: your complaints procedure and an approved body of alternative dispute resolution.",
        "",
        False,
        _cancellation(_FOURTEEN, "after SI 2013/3134 Schedule 3, from copies"),
        None,
        f"SI 2013/3134 reg. 10 and Sch. 2 read, the rest from copies, {_READ}; check local law",
        tax_inside=True,
    ),
    LawPreset(
        "eu",
        "European Union, off-premises or distance",
        "eu",
        "",
        "",
        "",
        "",
        "Complete: a body of alternative dispute resolution.",
        "",
        False,
        _cancellation(_FOURTEEN, "after Directive 2011/83/EU Annex I, from memory"),
        None,
        f"Directive 2011/83/EU, from memory, {_READ}; check local law",
        tax_inside=True,
    ),
    LawPreset(
        "sg",
        "Singapore, direct sale",
        "sg",
        "",
        "",
        "",
        "",
        "",
        "",
        False,
        _cancellation(
            "You may cancel this contract within five days, Saturdays, Sundays and public holidays not "
            "counted, by written notice to us.",
            "after Singapore's cancellation regulations",
        ),
        None,
        f"Singapore cancellation of contracts regulations, days read, {_READ}; check local law",
    ),
)
