"""Options the client can tick: which combinations there are, and the job file of each."""

import copy
from collections.abc import Iterable, Sequence
from itertools import combinations as subsets
from typing import Any

from app.job.errors import InputError, InputErrors
from app.pricing.job_pricing import Option

# Every combination is a whole job to work out: eight options that exclude each other, or four free ones.
MOST_COMBINATIONS = 16


def option_faults(options: Sequence[Option]) -> tuple[InputError, ...]:
    """Say what is wrong with a set of options.

    Parameters
    ----------
    options : sequence of Option
        Of one job.

    Returns
    -------
    faults : tuple of InputError
        Codes used twice or unknown, options without any change, too many combinations.

    References
    ----------
    Definition.
    """
    codes = [option.code for option in options]
    faults = []
    for option in options:
        path = f"option {option.code}"
        if codes.count(option.code) > 1:
            faults.append(InputError(path, option.code, "Give each option a code of its own."))
        for other in (*option.needs, *option.excludes):
            if other not in codes or other == option.code:
                faults.append(InputError(path, other, "Name another option of this job."))
        if not (option.adds or option.leaves_out or option.boards):
            faults.append(InputError(path, "", "Say what it adds, leaves out or makes of another board."))
    if not faults and _count(options) > MOST_COMBINATIONS:
        wanted = f"At most {MOST_COMBINATIONS} combinations are worked out; let options exclude each other."
        faults.append(InputError("options", _count(options), wanted))
    return tuple(faults)


def is_possible(options: Sequence[Option], ticked: Iterable[str]) -> bool:
    """Tell whether options can be ticked together.

    Parameters
    ----------
    options : sequence of Option
        Of one job.
    ticked : iterable of str
        Codes.

    Returns
    -------
    is_possible : bool
        False for unknown codes, a missing need, or two that exclude each other.

    References
    ----------
    Definition.
    """
    chosen = set(ticked)
    by_code = {option.code: option for option in options}
    return chosen <= set(by_code) and all(
        set(by_code[code].needs) <= chosen and not set(by_code[code].excludes) & chosen for code in chosen
    )


def combinations_of(options: Sequence[Option]) -> tuple[tuple[str, ...], ...]:
    """Give every combination that can be ticked, the empty one first.

    Parameters
    ----------
    options : sequence of Option
        Of one job.

    Returns
    -------
    combinations : tuple of tuple of str
        Codes in the order of the options, few before many.

    References
    ----------
    Definition.
    """
    codes = [option.code for option in options]
    every = (chosen for many in range(len(codes) + 1) for chosen in subsets(codes, many))
    return tuple(chosen for chosen in every if is_possible(options, chosen))


def with_options(
    document: dict[str, Any], options: Sequence[Option], ticked: Iterable[str]
) -> dict[str, Any]:
    """Give the job file with options ticked.

    Parameters
    ----------
    document : dict
        The job file as typed.
    options : sequence of Option
        Of the job; what an option adds is left out unless it is ticked.
    ticked : iterable of str
        Codes.

    Returns
    -------
    document : dict
        A copy; the given one stays as it is.

    Raises
    ------
    InputErrors
        If an option names a thing that the plan does not have.

    References
    ----------
    Definition.
    """
    chosen = set(ticked)
    changed = copy.deepcopy(document)
    plan = changed.get("plan", {})
    known = set(_ids(plan))
    out: set[str] = set()
    faults = []
    for option in options:
        places = (*option.adds, *option.leaves_out, *(one.place for one in option.boards))
        faults += [
            InputError(f"option {option.code}", place, "Name something that stands in the plan, by its id.")
            for place in places
            if place not in known
        ]
        out |= set(option.leaves_out if option.code in chosen else option.adds)
    if faults:
        raise InputErrors(tuple(faults))
    for option in options:
        if option.code in chosen:
            for other in option.boards:
                _set_board(plan, other.place, other.board)
    changed["plan"] = _without(plan, out)
    return changed


def _count(options: Sequence[Option]) -> int:
    """Count combinations, giving up early when there are far too many."""
    if len(options) > MOST_COMBINATIONS:
        return 2 * MOST_COMBINATIONS
    return len(combinations_of(options))


def _ids(value: Any) -> Iterable[str]:
    """Give the ids of everything in a plan."""
    if isinstance(value, dict):
        if isinstance(value.get("id"), str):
            yield value["id"]
        for part in value.values():
            yield from _ids(part)
    elif isinstance(value, list):
        for part in value:
            yield from _ids(part)


def _without(value: Any, out: set[str]) -> Any:
    """Take things out of lists by their ids, and out of lists of ids."""
    if isinstance(value, dict):
        return {key: _without(part, out) for key, part in value.items()}
    if isinstance(value, list):
        return [
            _without(part, out)
            for part in value
            if not (isinstance(part, dict) and part.get("id") in out)
            and not (isinstance(part, str) and part in out)
        ]
    return value


def _set_board(value: Any, place: str, board: str) -> None:
    """Give a place another board, under whichever name it has it."""
    if isinstance(value, dict):
        if value.get("id") == place:
            value["board" if "board" in value else "cladding"] = board
        for part in value.values():
            _set_board(part, place, board)
    elif isinstance(value, list):
        for part in value:
            _set_board(part, place, board)
