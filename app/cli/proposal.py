"""`upstand proposal`."""

import os
import tempfile
from argparse import Namespace
from pathlib import Path

from app.actions.from_file import proposal_of
from app.agreement.records import Party
from app.cli.job import answer_of
from app.documents.proposal import proposal_pdf
from app.job.errors import InputError, InputErrors


def run(options: Namespace) -> int:
    """Print a proposal to a file, whole or not at all."""
    folder = options.output.absolute().parent
    if not folder.is_dir():
        wanted = f"The folder {folder} does not exist; make it first."
        raise InputErrors((InputError("--output", str(options.output), wanted),))
    answered = answer_of(options)
    pdf = proposal_of(answered, Party(options.client, options.address), proposal_pdf)
    _write(options.output, pdf)
    print(f"{options.output}: {len(pdf) / 1000:,.0f} kB, prices of {answered.shop.name}")
    return 0


def _write(target: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=target.absolute().parent, prefix=".upstand-", suffix=".pdf")
    scratch = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        # A fresh scratch file is private; the PDF gets the rights any new file would.
        mask = os.umask(0)
        os.umask(mask)
        scratch.chmod(0o666 & ~mask)
        scratch.replace(target)
    except BaseException:
        scratch.unlink(missing_ok=True)
        raise
