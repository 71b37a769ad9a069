"""What can be carried up: the longest piece that a profile can give."""

from collections.abc import Sequence

from app.job.choices import Cutting, StockLength
from app.job.survey import WayUp


def longest_usable_mm(stock: Sequence[StockLength], way_up: WayUp, cutting: Cutting) -> float:
    """Give the longest piece that can be cut from a profile and carried up.

    Parameters
    ----------
    stock : sequence of StockLength
        Lengths it can be bought in, at least one.
    way_up : WayUp
        The way things reach the roof.
    cutting : Cutting
        How the ends are trimmed.

    Returns
    -------
    longest_mm : float
        From the longest stock length that turns on the way up, less the end trim; when no stock length
        turns, the longest piece that does, since the stock must then be cut on the ground. [mm]

    References
    ----------
    Definition.
    """
    lengths = [length.length_mm for length in stock if length.length_mm <= way_up.longest_piece_mm]
    bought_mm = max(lengths) if lengths else way_up.longest_piece_mm
    return max(bought_mm - cutting.end_trim_mm, 1.0)
