"""The words for each kind of fault that reading a record can find."""

from difflib import get_close_matches
from typing import Any, get_args

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from app.job.errors import InputError, path_text
from app.job.job import Job
from app.job.record import UNIT_SUFFIXES, Record, key_in_job_file

_ID = "An id has 1 to 40 letters, digits, points, dashes or underscores, and starts with a letter or digit."
# By pydantic's own name of the fault; {…} is filled from its context.
_WORDS = {
    "missing": "Nothing is given here, and the job needs it.",
    "less_than_equal": "This is above {le:g}, the most that can be.",
    "less_than": "This must be below {lt:g}.",
    "greater_than_equal": "This is below {ge:g}, the least that can be.",
    "greater_than": "This must be above {gt:g}.",
    "string_too_short": "Write at least {min_length} character.",
    "string_too_long": "Write at most {max_length} characters.",
    "string_type": "A text is wanted here.",
    "int_type": "A whole number is wanted here.",
    "int_parsing": "A whole number is wanted here.",
    "int_from_float": "A whole number is wanted here.",
    "float_type": "A number is wanted here.",
    "float_parsing": "A number is wanted here.",
    "finite_number": "A finite number is wanted here.",
    "bool_type": "Write true or false.",
    "bool_parsing": "Write true or false.",
    "tuple_type": "A list is wanted here, in square brackets.",
    "model_type": "An object with keys is wanted here, in curly brackets.",
    "model_attributes_type": "An object with keys is wanted here, in curly brackets.",
    "too_short": "There are {actual_length} here; at least {min_length} are needed.",
    "too_long": "There are {actual_length} here; at most {max_length} can be.",
}
_DATE = "A date is wanted here, written year-month-day: 2026-03-09."


def errors_of(error: ValidationError) -> tuple[InputError, ...]:
    """Turn what pydantic found into the job file's own errors.

    Parameters
    ----------
    error : ValidationError
        From reading a job.

    Returns
    -------
    errors : tuple of InputError
        One for each fault, with its place in the file.

    References
    ----------
    Definition.
    """
    return tuple(_error(details) for details in error.errors(include_url=False))


def _error(details: ErrorDetails) -> InputError:
    """Turn one fault; values that are whole objects are not repeated."""
    value = details["input"]
    is_large = details["type"] == "missing" or isinstance(value, (dict, list))
    return InputError(path_text(details["loc"]), None if is_large else value, _wanted(details))


def _wanted(details: ErrorDetails) -> str:
    """Say what is wrong and what would do."""
    kind, context = details["type"], details.get("ctx", {})
    cause = context.get("error")
    if isinstance(cause, InputError):
        return cause.wanted
    if kind == "extra_forbidden":
        return _unknown_key(details["loc"])
    if kind == "literal_error":
        return f"Write one of: {str(context['expected']).replace(' or ', ', ')}."
    if kind == "string_pattern_mismatch":
        is_currency = details["loc"][-1] == "currency"
        return "A currency has three capital letters, such as USD." if is_currency else _ID
    if kind.startswith("date"):
        return _DATE
    return _limit(details, context) if kind in _WORDS else details["msg"]


def _limit(details: ErrorDetails, context: dict[str, Any]) -> str:
    """Fill in the words; a length far too large is likely in another unit."""
    text = _WORDS[details["type"]].format(**context)
    if context.get("le") == 1e6 and details["type"] == "less_than_equal":
        return "This is more than 1 km. A number without a unit is in mm; write the unit if it is another."
    return text


def _record_of(annotation: Any) -> type[Record] | None:
    """Find the record type inside tuples, unions and annotations."""
    if isinstance(annotation, type) and issubclass(annotation, Record):
        return annotation
    found = (_record_of(part) for part in get_args(annotation))
    return next((record for record in found if record is not None), None)


def _unknown_key(place: tuple[int | str, ...]) -> str:
    """Say which key was likely meant."""
    record: type[Record] | None = Job
    for step in place[:-1]:
        if isinstance(step, str) and record is not None:
            fields = {key_in_job_file(name): field for name, field in record.model_fields.items()}
            record = _record_of(fields[step].annotation)
    keys = [key_in_job_file(name) for name in record.model_fields] if record else []
    key = str(place[-1])
    if key.endswith(UNIT_SUFFIXES) and key_in_job_file(key) in keys:
        return f"Keys carry no unit: write {key_in_job_file(key)}, and any unit with its value."
    near = get_close_matches(key, keys, n=1)
    meant = f"Did you mean {near[0]}?" if near else f"The keys here are {', '.join(keys)}."
    return f"There is no key {key} here. {meant}"
