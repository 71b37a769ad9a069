"""Ripped pieces laid side by side in one length of board, before the lengths are cut.

A board ripped once gives two strips, each with one factory edge:

    |<------------ lead ------------>|
    |================================|   width a
    |-------------- kerf ------------|
    |== companion ==|= companion =|      width b,  a + kerf + b <= board width
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A piece to be cut from one profile.

    Attributes
    ----------
    id : str
        Piece or stick.
    place : str
        What it belongs to.
    length_mm : float
        Length to cut. [mm]
    width_mm : float
        Width after ripping. [mm]
    is_ripped : bool
        Whether it is narrower than its profile.
    """

    id: str
    place: str
    length_mm: float
    width_mm: float
    is_ripped: bool


@dataclass(frozen=True, slots=True)
class Strip:
    """One length to be cut: a piece, and what is ripped from beside it.

    Attributes
    ----------
    lead : CutPiece
        The longest; the strip is as long as it is.
    beside : tuple of CutPiece
        End to end in the other half of the same length.
    """

    lead: CutPiece
    beside: tuple[CutPiece, ...]


def nest_rips(pieces: tuple[CutPiece, ...], board_mm: float, kerf_mm: float) -> tuple[Strip, ...]:
    """Give the lengths to cut, with ripped pieces sharing a length where two fit side by side.

    Parameters
    ----------
    pieces : tuple of CutPiece
        All pieces of one board profile.
    board_mm : float
        Width of the profile. [mm]
    kerf_mm : float
        Lost at each cut, across and along. [mm]

    Returns
    -------
    strips : tuple of Strip
        Every piece once, longest strip first.

    Notes
    -----
    Longest first: each ripped piece goes beside the lead that leaves least room after it, else it leads
    a strip of its own. A strip never costs more than its pieces would one by one.

    References
    ----------
    Common practice, no source.
    """
    whole = [Strip(lead=piece, beside=()) for piece in pieces if not piece.is_ripped]
    rips = sorted((piece for piece in pieces if piece.is_ripped), key=_longest_first)
    leads: list[CutPiece] = []
    beside: list[list[CutPiece]] = []
    room_mm: list[float] = []
    for piece in rips:
        fitting = [
            (room_mm[number], number)
            for number, lead in enumerate(leads)
            if room_mm[number] >= piece.length_mm and lead.width_mm + kerf_mm + piece.width_mm <= board_mm
        ]
        if not fitting:
            leads.append(piece)
            beside.append([])
            room_mm.append(piece.length_mm)
            continue
        number = min(fitting)[1]
        beside[number].append(piece)
        room_mm[number] -= piece.length_mm + kerf_mm
    nested = [Strip(lead=lead, beside=tuple(taken)) for lead, taken in zip(leads, beside, strict=True)]
    return tuple(sorted(whole + nested, key=lambda strip: _longest_first(strip.lead)))


def _longest_first(piece: CutPiece) -> tuple[float, str]:
    """Sort key: longest first, then by id, so that the same job is cut the same way."""
    return -piece.length_mm, piece.id
