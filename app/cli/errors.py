"""Which errors are the input's, which are a rule's refusal, and how they are listed."""

import json

from pydantic import ValidationError

from app.actions.backup import BackupError
from app.actions.database import NewerDatabase, NotKept, Unreachable
from app.actions.errors import Refused
from app.job.errors import InputErrors
from app.measure.errors import InputError

WRONG_INPUT = (InputErrors, InputError, ValidationError)
NOT_DONE = (Refused, BackupError, NewerDatabase, NotKept, Unreachable)
_LONGEST_VALUE = 120


def faults_of(error: InputErrors | InputError | ValidationError) -> tuple[tuple[str, str, str], ...]:
    """Give path, value and what would do, for each fault."""
    if isinstance(error, ValidationError):
        return _settings_faults(error)
    single = error.errors if isinstance(error, InputErrors) else (error,)
    return tuple((fault.path, _shown(fault.value), fault.wanted) for fault in single)


def _settings_faults(error: ValidationError) -> tuple[tuple[str, str, str], ...]:
    """Name the variables of the surroundings that cannot be read; the only records read here by pydantic."""
    if error.title != "Settings":
        raise error
    return tuple(
        (f"UPSTAND_{str(fault['loc'][0]).upper()}", _shown(fault["input"]), fault["msg"])
        for fault in error.errors()
    )


def _shown(value: object) -> str:
    try:
        text = json.dumps(value, ensure_ascii=False)
    except (TypeError, ValueError):
        text = repr(value)
    return text if len(text) <= _LONGEST_VALUE else f"{text[:_LONGEST_VALUE]} …"
