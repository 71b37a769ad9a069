"""The job file in and out: JSON text or a document to a `Job` and back, each fault told by its place."""

import json
from typing import Any

from pydantic import ValidationError

from app.job.checks.whole import job_faults
from app.job.errors import InputError, InputErrors, path_text
from app.job.job import SCHEMA_VERSION, Job
from app.job.wording import errors_of

LONGEST_TEXT = 5_000_000  # characters; the fullest job here has 20 000


class _Repeated(dict[str, Any]):
    """An object of the file in which keys stood twice."""

    keys_twice: tuple[str, ...] = ()


class _NoNumber(str):
    """NaN or Infinity, which JSON does not know."""

    __slots__ = ()


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """Make an object, keeping count of repeated keys."""
    made = _Repeated(pairs)
    if len(made) == len(pairs):
        return dict(made)
    keys = [key for key, _ in pairs]
    made.keys_twice = tuple(dict.fromkeys(key for key in keys if keys.count(key) > 1))
    return made


def _literal_faults(value: Any, place: tuple[str | int, ...] = ()) -> list[InputError]:
    """Find repeated keys and numbers that are none, with their place."""
    if isinstance(value, _NoNumber):
        return [
            InputError(
                path_text(place), str(value), f"{value} is no number. Write one, or leave the key out."
            )
        ]
    found: list[InputError] = []
    if isinstance(value, _Repeated):
        for key in value.keys_twice:
            wanted = f"The key {key} stands here twice. Leave one of them out."
            found.append(InputError(path_text((*place, key)), value[key], wanted))
    if isinstance(value, dict):
        for key, item in value.items():
            found += _literal_faults(item, (*place, key))
    elif isinstance(value, list):
        for number, item in enumerate(value):
            found += _literal_faults(item, (*place, number))
    return found


def _fail(value: object, wanted: str) -> InputErrors:
    """Make the error of a text that is no job file at all."""
    return InputErrors((InputError("", value, wanted),))


def read_job_text(text: str) -> Job:
    """Read a job from the text of its file.

    Parameters
    ----------
    text : str
        JSON (RFC 8259), without repeated keys.

    Returns
    -------
    job : Job

    Raises
    ------
    InputErrors
        All faults, each with its place; a fault of syntax with line and column.

    References
    ----------
    RFC 8259; the job file's own schema.
    """
    if len(text) > LONGEST_TEXT:
        wanted = f"The file has {len(text):,} characters; at most {LONGEST_TEXT:,} are read."
        raise _fail(len(text), wanted)
    try:
        document = json.loads(
            text.removeprefix("\ufeff"), object_pairs_hook=_object, parse_constant=_NoNumber
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        line = text.splitlines()[error.lineno - 1][:80].strip() if text.strip() else ""
        wanted = f"The file is not JSON at {where}: {_syntax(error.msg)}."
        raise InputErrors((InputError(where, line, wanted),)) from error
    except RecursionError as error:
        raise _fail("", "The file nests lists or objects too deep to be a job.") from error
    except ValueError as error:  # a whole number of thousands of digits
        raise _fail("", "The file holds a number with too many digits.") from error
    faults = _literal_faults(document)
    if faults:
        raise InputErrors(tuple(faults))
    return read_job(document)


def _syntax(message: str) -> str:
    """Say the reader's complaint as a person would."""
    return (message[0].lower() + message[1:]).replace("delimiter", "sign").replace("enclosed in", "within")


def read_job(document: object) -> Job:
    """Read a job from its document, as JSON gives it.

    Parameters
    ----------
    document : object
        A dictionary with the keys of the job file; anything else is an error.

    Returns
    -------
    job : Job

    Raises
    ------
    InputErrors
        All faults, each with its place. Values that contradict one another are looked at when every
        value by itself can be read.

    References
    ----------
    The job file's own schema.
    """
    if not isinstance(document, dict):
        raise _fail(document, "A job file is one JSON object with the keys schema_version, survey and so on.")
    version = document.get("schema_version")
    if isinstance(version, bool) or version != SCHEMA_VERSION:
        said = "no schema_version" if version is None else f"schema_version {version!r}"
        wanted = f"The file has {said}; this program reads version {SCHEMA_VERSION}."
        raise InputErrors((InputError("schema_version", version, wanted),))
    try:
        job = Job.model_validate(document, by_alias=True, by_name=False)
    except ValidationError as error:
        raise InputErrors(errors_of(error)) from error
    faults = job_faults(job)
    if faults:
        raise InputErrors(faults)
    return job


def write_job(job: Job) -> dict[str, Any]:
    """Give the document of a job: all keys, numbers in base units.

    Parameters
    ----------
    job : Job
        As read or built.

    Returns
    -------
    document : dict
        Reads back as the same job.

    References
    ----------
    The job file's own schema.
    """
    return job.model_dump(mode="json", by_alias=True)
