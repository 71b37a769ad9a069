"""What the commands on a job file share: read it, find the shop, work it out."""

import json
from argparse import Namespace
from datetime import UTC, datetime
from typing import Any

from app.actions.clock import day_of
from app.actions.from_file import FileAnswer, answer_file, read_job_path, shop_in_use
from app.settings import Settings


def answer_of(options: Namespace) -> FileAnswer:
    """Work out the job file that was named; InputErrors, Refused."""
    job = read_job_path(options.job_file)
    today = options.today or day_of(datetime.now(UTC))
    used = shop_in_use(Settings().url, options.shop, today)
    return answer_file(job, used, today, options.start, options.crew)


def print_json(answer: dict[str, Any]) -> int:
    """Print a machine-readable answer."""
    print(json.dumps(answer, ensure_ascii=False, indent=2, allow_nan=False))
    return 0
