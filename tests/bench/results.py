"""What a run measured, each figure beside its limit; a whole run is kept as a row of RESULTS.md."""

import os
import subprocess
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

RESULTS = Path(__file__).parent / "RESULTS.md"
NOT_MEASURED = "–"


@dataclass(frozen=True, slots=True)
class Column:
    """One figure of the table: its name there, its limit, and whether more or less of it is better."""

    name: str
    limit: str = ""
    is_more_better: bool = False

    @property
    def title(self) -> str:
        """The head of the column."""
        return f"{self.name} ({self.limit})" if self.limit else self.name

    def keeps(self, value: float) -> bool:
        """Whether the limit is kept; a figure without one always keeps it."""
        if not self.limit:
            return True
        sign, _, bound = self.limit.partition(" ")
        return value >= float(bound) if sign == "≥" else value <= float(bound)


# The columns of the table, in their order; a bench notes a figure by its name.
COLUMNS: tuple[Column, ...] = (
    Column("client link, % of bare requests", "≥ 50", is_more_better=True),
    Column("client link, × bare time", "≤ 3"),
    Column("jobs, × bare time", "≤ 3"),
    Column("price, × bare time", "≤ 3"),
    Column("takeoff, × bare time", "≤ 3"),
    Column("client link, p99 × p50", "≤ 2"),
    Column("PDF, × renderer alone", "≤ 1.3"),
    Column("takeoff of the demo, ms"),
    Column("takeoff of 100 × the area, × time"),
    Column("cutting, median gap %"),
    Column("first plan, ms", "≤ 150"),
    Column("slip planned again, ms", "≤ 200"),
    Column("this week of 40 jobs, p50 ms", "≤ 150"),
    Column("days of 40 jobs, p50 ms", "≤ 150"),
    Column("jobs of 2,000, p95 ms", "≤ 100"),
    Column("search of 50,000 prices, p95 ms", "≤ 100"),
    Column("this week of 2,000 jobs, p95 ms", "≤ 100"),
    Column("start to first page, s", "≤ 3"),
    Column("memory then, MB"),
    Column("refused of 640 writes", "≤ 0"),
)
HEAD = ("day", "commit", "load", *(column.title for column in COLUMNS))
_noted: dict[str, float] = {}


def note(name: str, value: float) -> str:
    """Keep a figure for the table; gives the words to print beside it."""
    column = next(column for column in COLUMNS if column.name == name)
    _noted[name] = value
    if not column.limit:
        return ""
    return f"  [bar {column.limit}: {'kept' if column.keeps(value) else 'NOT KEPT'}]"


def machine_load() -> float:
    """How many programs wait for the processors, as the machine says; 0 where it does not."""
    return os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0


def worked_ms(pid: int) -> float:
    """The time a process has worked, whatever else the machine did meanwhile; 0 where none is told."""
    stat = Path(f"/proc/{pid}/stat")
    if not stat.exists():
        return 0.0
    user, system = stat.read_text(encoding="utf-8").rpartition(") ")[2].split()[11:13]
    return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK") * 1000


def ran_ms(pid: int) -> float:
    """The same to the microsecond, from the threads that live; of one edit, ticks of 10 ms say little."""
    threads = Path(f"/proc/{pid}/task").glob("*/schedstat")
    return sum(int(one.read_text(encoding="utf-8").split()[0]) for one in threads) / 1e6


def commit() -> str:
    """The commit that is measured; with a + where files were changed since."""
    folder = Path(__file__).parent

    def git(*words: str) -> str:
        said = subprocess.run(["git", *words], cwd=folder, capture_output=True, text=True, check=False)
        return said.stdout.strip()

    found = os.environ.get("BENCH_COMMIT") or git("rev-parse", "--short=9", "HEAD") or "unknown"
    return f"{found}+" if git("status", "--porcelain", "--untracked-files=no") else found


def row(began_load: float) -> tuple[str, ...]:
    """The row of this run."""
    figures = (_noted.get(column.name) for column in COLUMNS)
    load = f"{began_load:.1f} to {machine_load():.1f}"
    day = datetime.now(UTC).date().isoformat()
    return (day, commit(), load, *(NOT_MEASURED if one is None else f"{one:.4g}" for one in figures))


def line(cells: tuple[str, ...]) -> str:
    """One line of the table."""
    return f"| {' | '.join(cells)} |"


def rows_of(text: str) -> list[dict[str, str]]:
    """The rows of a table of results; ValueError where it is none."""
    lines = [one.strip() for one in text.splitlines() if one.strip().startswith("|")]
    cells = [[cell.strip() for cell in one.strip("|").split("|")] for one in lines]
    if len(cells) < 2 or tuple(cells[0]) != HEAD or any(set(cell) != {"-"} for cell in cells[1]):
        raise ValueError("The table of results has another head than the bench writes.")
    if wrong := [one for one in cells if len(one) != len(HEAD)]:
        raise ValueError(f"A row of results has {len(wrong[0])} cells instead of {len(HEAD)}.")
    return [dict(zip(HEAD, one, strict=True)) for one in cells[2:]]


def losses(before: dict[str, str], now: dict[str, str]) -> list[str]:
    """Say which figures are a fifth worse than in the row before."""
    found = []
    for column in COLUMNS:
        old, new = before[column.title], now[column.title]
        if NOT_MEASURED in (old, new):
            continue
        was, is_now = float(old), float(new)
        if (is_now * 1.2 < was) if column.is_more_better else (is_now > was * 1.2 and is_now > 0):
            found.append(f"{column.name}: {old} before, {new} now")
    return found


def keep(began_load: float, path: Path = RESULTS) -> list[str]:
    """Append the row of this run; gives what is lost against the one before."""
    text = path.read_text(encoding="utf-8")
    before, now = rows_of(text), row(began_load)
    path.write_text(f"{text.rstrip()}\n{line(now)}\n", encoding="utf-8")
    return losses(before[-1], dict(zip(HEAD, now, strict=True))) if before else []
