"""`make bench`: figures and ratios, printed; no assertion on time."""

from tests.bench import board, cutting, days, prices, rough_in, takeoff

if __name__ == "__main__":
    for bench in (takeoff, rough_in, cutting, board, days, prices):
        print(f"\n# {bench.__doc__.splitlines()[0] if bench.__doc__ else bench.__name__}")
        bench.main()
