"""Steps of the engine that remember: a step whose inputs are as before gives the answer it gave before.

A step is a pure function of a room. What it reads of the job is noted part by part (``plan.planters``) while
it runs, so that moving a table leaves alone whatever never looked at furniture. The rooms know nothing of it.
"""

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from threading import Lock
from typing import Any, ParamSpec, TypeVar, cast

from app.job.job import Job

P = ParamSpec("P")
R = TypeVar("R")
_PARTS = ("survey", "plan", "choices")
_KEPT_OF_A_STEP = 24
_KEPT_VALUES = 6
_COMPARED = 3
Read = tuple[str, str]  # part of the job, and what of it


class _Seen:
    """A job, or a part of one, that notes what is read of it."""

    __slots__ = ("_part", "_reads", "_real", "_whole")

    def __init__(self, whole: Job, reads: dict[Read, Any], part: str = "") -> None:
        self._whole = whole
        self._real = getattr(whole, part) if part else whole
        self._reads = reads
        self._part = part

    def __getattr__(self, name: str) -> Any:
        if not self._part and name in _PARTS:
            return _Seen(self._whole, self._reads, name)
        value = getattr(self._real, name)
        self._reads[self._part, name] = value
        return value


@dataclass(frozen=True, slots=True)
class _Answer:
    """What a step once gave, for which inputs, having read what of the job."""

    inputs: tuple[Any, ...]
    reads: tuple[Mapping[Read, Any], ...]
    given: Any


class Remembering:
    """Steps that keep their last answers. Losing one costs time, never truth."""

    def __init__(self) -> None:
        self._answers: dict[Any, OrderedDict[int, _Answer]] = {}
        self._values: dict[Read, list[Any]] = {}
        self._lock = Lock()
        self._number = 0

    def __call__(self, work: Callable[P, R], /, *inputs: P.args, **named: P.kwargs) -> R:
        """Give what the step gives for these inputs, from memory where it was asked the same before."""
        if named:  # no room names its inputs to a step; one that does is simply not remembered
            return work(*inputs, **named)
        jobs = [one for one in inputs if isinstance(one, Job | _Seen)]
        others = tuple(one for one in inputs if not isinstance(one, Job | _Seen))
        found = self._find(work, others, [_whole_of(job) for job in jobs])
        if found is None:
            watched: list[dict[Read, Any]] = [{} for _ in jobs]
            seen = iter([_Seen(_whole_of(job), reads) for job, reads in zip(jobs, watched, strict=True)])
            watching = tuple(next(seen) if isinstance(one, Job | _Seen) else one for one in inputs)
            given = cast("Callable[..., R]", work)(*watching)
            found = self._keep(work, _Answer(others, tuple(watched), given))
        for job, reads in zip(jobs, found.reads, strict=True):
            if isinstance(job, _Seen):  # whoever called this step has read all that the step has read
                job._reads.update({read: _value(job._whole, read) for read in reads})
        return cast("R", found.given)

    def known(self, job: Job) -> Job:
        """Give an equal job made of the parts of jobs seen before, so that equal parts are the same."""
        with self._lock:
            parts = {part: self._known_part(job, part) for part in _PARTS}
        return job.model_copy(update=parts)

    def _known_part(self, job: Job, part: str) -> Any:
        record = getattr(job, part)
        fresh = {name: self._known_value((part, name), value) for name, value in record}
        return record.model_copy(update=fresh)

    def _known_value(self, read: Read, value: Any) -> Any:
        kept = self._values.setdefault(read, [])
        for at, old in enumerate(kept):
            if type(old) is type(value) and old == value:
                kept.insert(0, kept.pop(at))
                return old
        if isinstance(value, tuple) and kept and isinstance(kept[0], tuple):
            value = tuple(_same_as_one_of(one, kept[0]) for one in value)
        kept.insert(0, value)
        del kept[_KEPT_VALUES:]
        return value

    def _find(self, step: Any, others: tuple[Any, ...], jobs: list[Job]) -> _Answer | None:
        with self._lock:
            answers = list(reversed((self._answers.get(step) or OrderedDict()).items()))
        parts = [{part: getattr(whole, part) if part else whole for part in ("", *_PARTS)} for whole in jobs]
        for number, answer in answers:
            if _are_same(answer.inputs, others) and _reads_same(answer.reads, parts):
                with self._lock:
                    kept = self._answers[step]
                    if number in kept:
                        kept.move_to_end(number)
                return answer
        return None

    def _keep(self, step: Any, answer: _Answer) -> _Answer:
        """Keep an answer; an equal one given before stands for it, so that what follows sees no change."""
        with self._lock:
            last = list((self._answers.get(step) or {}).values())[-_COMPARED:]
        equal = next((old.given for old in reversed(last) if _is_same(old.given, answer.given)), answer.given)
        answer = replace(answer, given=equal)
        with self._lock:
            self._number += 1
            kept = self._answers.setdefault(step, OrderedDict())
            kept[self._number] = answer
            while len(kept) > _KEPT_OF_A_STEP:
                kept.popitem(last=False)
        return answer


def _whole_of(job: Any) -> Job:
    return cast("Job", job._whole if isinstance(job, _Seen) else job)


def _value(whole: Job, read: Read) -> Any:
    part, name = read
    return getattr(getattr(whole, part) if part else whole, name)


def _same_as_one_of(value: Any, kept: tuple[Any, ...]) -> Any:
    return next((old for old in kept if type(old) is type(value) and old == value), value)


def _reads_same(reads: tuple[Mapping[Read, Any], ...], jobs: list[dict[str, Any]]) -> bool:
    """Tell whether what was read of each job is the same in these, given by their parts."""
    if len(reads) != len(jobs):
        return False
    for parts, noted in zip(jobs, reads, strict=True):
        for (part, name), value in noted.items():
            now = getattr(parts[part], name)
            if now is not value and not _is_same(value, now):
                return False
    return True


def _are_same(left: tuple[Any, ...], right: tuple[Any, ...]) -> bool:
    return len(left) == len(right) and all(map(_is_same, left, right))


def _is_same(left: Any, right: Any) -> bool:
    """Tell whether two inputs are alike; whatever cannot be told apart by a plain comparison is not."""
    if left is right:
        return True
    try:
        return type(left) is type(right) and bool(left == right)
    except ValueError:  # arrays compare element by element
        return False
