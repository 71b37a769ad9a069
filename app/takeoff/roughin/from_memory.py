"""Rules of the rough-in that nobody has read in print yet, told with their edition as one check."""

from collections.abc import Sequence

from app.job.findings import Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.roughin.circuits import APART_MM
from app.takeoff.roughin.evening_records import SoundLevel

OPENING = "These rules are used from memory: hold each against the print in force where the roof is."
# Numbers of clauses are those of the edition named; a newer one may have moved them.
LIGHTS = (
    "Class 2 and wet places, NFPA 70 (NEC) 2020, Chapter 9 Tables 11(A) and (B): at 12 V 5 A and 60 VA, from "
    "20 to 30 V 100 VA, where it is wet 15 V of alternating current."
)
OUTLETS = (
    "Outlets and their circuits, NFPA 70 (NEC) 2020, 210.8(A)(3), 240.4(D) and 406.9(B)(1), or IEC "
    "60364-4-41:2005 with its amendment of 2017, 411.3.3, and IEC 60364-5-52:2009, Annex G: ground-fault "
    "protection, covers, the protection usual for each cable, 3 % of voltage drop."
)
APART = (
    "Low voltage {} from line voltage, NFPA 70 (NEC) 2020, 725.136(I), or IEC 60364-5-52:2009, clause 528; "
    "for gas the same distance stands, with no source."
)
BOXES = "Boxes of joints stay within reach, NFPA 70 (NEC) 2020, 314.29."
SOUND = (
    "Screens, ISO 9613-2:1996, clause 7.4, revised in 2024: judged at 500 Hz, closed from about 10 kg/m2 on, "
    "and sound round upright edges; ways round one screen and over or round another are our own reading, "
    "ways round three are left out."
)
GAS = "Gas pipe, IFGC 2018, Table 402.4(2), and its method of the longest length, 402.4.1."
SOURCE = "the editions named; none of them was read in print"


def rules_from_memory(
    job: Job, kinds: Sequence[str], levels: Sequence[SoundLevel], *, has_joints: bool
) -> tuple[Finding, ...]:
    """Give a check that names every rule from memory that the rough-in of a job leans on.

    Parameters
    ----------
    job : Job
        Its gas stubs tell which table is used.
    kinds : sequence of str
        Of the runs there are.
    levels : sequence of SoundLevel
        As reckoned; screens count where one takes something.
    has_joints : bool
        Whether runs are joined in boxes.

    Returns
    -------
    findings : tuple of Finding
        One at most.

    References
    ----------
    Definition.
    """
    apart = APART.format(Spoken(job.units).length(APART_MM))
    has_low = bool({"lighting", "sound"} & set(kinds))
    used = (
        ("lighting" in kinds, LIGHTS),
        ("power" in kinds, OUTLETS),
        (has_low and bool({"power", "gas"} & set(kinds)), apart),
        (has_joints, BOXES),
        (any(level.screen_db > 0 for level in levels), SOUND),
        ("gas" in kinds and any(stub.gas == "natural gas" for stub in job.plan.gas_stubs), GAS),
    )
    rules = [text for is_used, text in used if is_used]
    if not rules:
        return ()
    text = " ".join((OPENING, *rules))
    return (
        Finding("roughin.from-memory", "check", "job", text, float(len(rules)), unit="rules", source=SOURCE),
    )
