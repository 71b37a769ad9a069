"""The base of every record of the job file.

A field of the record carries its unit in its name (``height_mm``); the key in the job file does not
(``height``), since there the value may be typed with a unit of its own. One alias rule links the two.
"""

from functools import cache

from pydantic import BaseModel, ConfigDict

# Longest first, so that ``_kg_m3`` is not read as ``_m3``.
UNIT_SUFFIXES = (
    "_kg_m3",
    "_kg_m2",
    "_kg_m",
    "_per_c",
    "_ohm_km",
    "_ohm",
    "_min",
    "_mm2",
    "_kpa",
    "_mpa",
    "_deg",
    "_m2",
    "_m3",
    "_mm",
    "_kg",
    "_kn",
    "_db",
    "_hz",
    "_lm",
    "_lx",
    "_w",
    "_v",
    "_a",
    "_c",
    "_h",
)


@cache
def key_in_job_file(field_name: str) -> str:
    """Give the job-file key of a record field: the name less its unit.

    Parameters
    ----------
    field_name : str
        Name of the record's field.

    Returns
    -------
    key : str
        The same name without its unit suffix.

    Examples
    --------
    >>> key_in_job_file("height_mm")
    'height'
    >>> key_in_job_file("expansion_per_c")
    'expansion'
    >>> key_in_job_file("board")
    'board'

    References
    ----------
    Definition.
    """
    for suffix in UNIT_SUFFIXES:
        if field_name.endswith(suffix):
            return field_name.removesuffix(suffix)
    return field_name


class Record(BaseModel):
    """A frozen record read from, and written to, the job file; unknown keys are errors."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=key_in_job_file,
        populate_by_name=True,
        allow_inf_nan=False,
        str_strip_whitespace=True,
    )
