"""`make bench`: figures and ratios, each beside its limit; no assertion on time.

`python -m tests.bench` runs all and appends a row to RESULTS.md; `python -m tests.bench server days` runs
those two and writes nothing, or with `--keep` a row with dashes for the rest.
"""

import os
import sys

from tests.bench import board, cutting, days, prices, results, rough_in, server, takeoff

BENCHES = {
    "takeoff": takeoff,
    "rough_in": rough_in,
    "cutting": cutting,
    "prices": prices,
    "days": days,
    "server": server,
    "board": board,
}


def main(names: list[str]) -> int:
    """Run the named benches, or all of them."""
    is_kept = not names or "--keep" in names
    names = [name for name in names if name != "--keep"]
    if unknown := [name for name in names if name not in BENCHES]:
        print(f"There is no bench {unknown[0]}; there are {', '.join(BENCHES)}.")
        return 2
    began_load = results.machine_load()
    print(f"{results.commit()}, {os.cpu_count()} processors, load {began_load:.1f}")
    for name in names or BENCHES:
        bench = BENCHES[name]
        print(
            f"\n# {(bench.__doc__ or name).splitlines()[0]} (load {results.machine_load():.1f})", flush=True
        )
        bench.main()
    if is_kept:
        worse = results.keep(began_load)
        print(f"\nA row is added to {results.RESULTS.name}.")
        for one in worse:
            print(f"A fifth worse than in the row before: {one}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
