"""From what was typed to a command and its exit code; no command shows a traceback for what was typed."""

import json
import os
import sys
from argparse import Namespace
from collections.abc import Sequence
from importlib import import_module

from app.cli.parser import make_parser

DONE, NOT_DONE, WRONG_INPUT = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; gives 0 when done, 1 when refused by a rule, 2 when the input is wrong."""
    options = make_parser().parse_args(arguments)
    try:
        code = _run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of our output left (`… | head`): say nothing more, also not at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    return code


def _run(options: Namespace) -> int:
    # Each command is loaded by itself, so that `--help` does not wait for the engine.
    command = import_module(f"app.cli.{getattr(options, 'module', options.command)}")
    errors = import_module("app.cli.errors")
    try:
        code: int = command.run(options)
    except errors.WRONG_INPUT as faults:
        return _say(errors.faults_of(faults), getattr(options, "json", False))
    except errors.NOT_DONE as refusal:
        print(f"upstand: {refusal}", file=sys.stderr)
        for detail in getattr(refusal, "details", ()):
            print(f"  - {detail}", file=sys.stderr)
        return NOT_DONE
    return code


def _say(faults: Sequence[tuple[str, str, str]], as_json: bool) -> int:
    """List every fault: where, what stands there, what would do."""
    if as_json:
        listed = [{"path": path, "value": value, "wanted": wanted} for path, value, wanted in faults]
        answer = {"answer": "refusal", "version": 1, "faults": listed}
        print(json.dumps(answer, ensure_ascii=False, indent=2), file=sys.stderr)
        return WRONG_INPUT
    count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
    print(f"upstand: {count} in the input; nothing was written.", file=sys.stderr)
    for path, value, wanted in faults:
        print(f"  {path or 'the file'}: {value}\n    {wanted}", file=sys.stderr)
    return WRONG_INPUT
