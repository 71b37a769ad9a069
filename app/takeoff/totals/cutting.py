"""Cutting over the whole job: every piece of one profile in one pool, whatever place it is for."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from app.job.choices import Board, Cutting, KeptOffcut, Section, StockLength
from app.job.doing import Do, at_once
from app.job.findings import Assumption, Finding
from app.job.job import Job
from app.job.spoken import Spoken
from app.takeoff.framing.records import Framing
from app.takeoff.layout.records import Layout
from app.takeoff.totals.grid import SLACK_MM
from app.takeoff.totals.mitres import mitred_ends
from app.takeoff.totals.profile_cut import cut_profile, fits_stock, stock_costs
from app.takeoff.totals.records import CutPlan
from app.takeoff.totals.strips import CutPiece, Strip, nest_rips

WAY_UP = "survey: longest piece that turns on the way up"


@dataclass(frozen=True, slots=True)
class CutList:
    """All cut plans of a job, and what was found on the way.

    Attributes
    ----------
    plans : tuple of CutPlan
        Boards first, then sections, in the order of the choices; only profiles that are used.
    findings : tuple of Finding
    assumptions : tuple of Assumption
    """

    plans: tuple[CutPlan, ...]
    findings: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]


def cut_list(
    job: Job,
    layout: Layout,
    framing: Framing,
    stock_prices: Mapping[str, Decimal],
    do: Do = at_once,
) -> CutList:
    """Give the cut plan of every profile used in the job.

    Parameters
    ----------
    job : Job
        Choices, and the way up.
    layout : Layout
        Visible pieces.
    framing : Framing
        Sticks beneath and behind them.
    stock_prices : mapping of str to Decimal
        Price of one piece by stock item.
    do : Do
        How its parts are done.

    Returns
    -------
    cuts : CutList
        A piece longer than every usable stock length is in no plan; a stop names it.

    References
    ----------
    As `cut_at_least_cost`.
    """
    plans: list[CutPlan] = []
    findings: list[Finding] = []
    assumptions: list[Assumption] = []
    profiles: tuple[Board | Section, ...] = (*job.choices.boards, *job.choices.sections)
    for profile in profiles:
        pieces = _pieces(profile, layout, framing)
        if not pieces:
            continue
        stock = _usable(job, profile)
        findings.extend(_unusable_notes(job, profile))
        bought_mm = max(s.length_mm for s in stock) - job.choices.cutting.end_trim_mm
        longest_mm = min(bought_mm, job.survey.way_up.longest_piece_mm)
        fitting, too_long = do(_parted, pieces, stock, job.choices.cutting, longest_mm)
        findings.extend(_too_long(profile, too_long, longest_mm, Spoken(job.units)))
        if not fitting:
            continue
        offered = stock_costs(stock, stock_prices)
        if not offered.is_priced:
            missing = [s.item for s in stock if stock_prices.get(s.item, Decimal(0)) <= 0]
            assumptions.append(_by_length(profile, missing))
        strips = nest_rips(_rippable(profile, fitting), profile.width_mm, job.choices.cutting.kerf_mm)
        assumptions.extend(_shared_rips(profile, strips))
        plan = cut_profile(profile.id, strips, offered, job.choices.cutting, _kept(job, profile), job.units)
        ends = mitred_ends(piece for piece in layout.pieces if piece.profile == profile.id)
        assumptions.extend(_hands(profile, ends))
        plans.append(replace(plan, ends=ends, is_cut_below=not _goes_up(job, stock)))
    return CutList(plans=tuple(plans), findings=tuple(findings), assumptions=tuple(assumptions))


def _pieces(profile: Board | Section, layout: Layout, framing: Framing) -> tuple[CutPiece, ...]:
    """Pool the pieces of one profile over the whole job."""
    if isinstance(profile, Board):
        return tuple(
            CutPiece(piece.id, piece.place, piece.length_mm, piece.width_mm, piece.is_ripped)
            for piece in layout.pieces
            if piece.profile == profile.id
        )
    return tuple(
        CutPiece(stick.id, stick.place, stick.length_mm, profile.width_mm, is_ripped=False)
        for stick in framing.sticks
        if stick.section == profile.id
    )


def _rippable(profile: Board | Section, pieces: tuple[CutPiece, ...]) -> tuple[CutPiece, ...]:
    """Let no rip share a length where boards must not be turned: one of the two would be."""
    if isinstance(profile, Board) and profile.has_grain_direction:
        return tuple(replace(piece, is_ripped=False) for piece in pieces)
    return pieces


def _kept(job: Job, profile: Board | Section) -> tuple[KeptOffcut, ...]:
    """Give the offcuts in the rack of one profile that get up."""
    longest_mm = job.survey.way_up.longest_piece_mm
    return tuple(
        offcut
        for offcut in job.choices.cutting.kept_offcuts
        if offcut.profile == profile.id and offcut.length_mm <= longest_mm
    )


def _hands(profile: Board | Section, ends: tuple[tuple[str, str], ...]) -> tuple[Assumption, ...]:
    """Say how mitred pieces are cut, where there are any."""
    if not ends:
        return ()
    return (
        Assumption(
            code="totals.mitre-hands",
            text=(
                f"{profile.name}: {len(ends)} mitred pieces take their longest length from the board; no two "
                f"share a slanting cut, and each keeps its hand: face side up, it is never turned over."
            ),
            source="common practice, no source",
        ),
    )


def _parted(
    pieces: tuple[CutPiece, ...], stock: tuple[StockLength, ...], cutting: Cutting, longest_mm: float
) -> tuple[tuple[CutPiece, ...], tuple[CutPiece, ...]]:
    """Part the pieces that some stock length holds, and that get up, from the others."""
    holds = {
        length_mm: length_mm <= longest_mm + SLACK_MM and fits_stock(length_mm, stock, cutting)
        for length_mm in {piece.length_mm for piece in pieces}
    }
    return (
        tuple(piece for piece in pieces if holds[piece.length_mm]),
        tuple(piece for piece in pieces if not holds[piece.length_mm]),
    )


def _usable(job: Job, profile: Board | Section) -> tuple[StockLength, ...]:
    """Give the stock lengths that can be carried up; all of them when none can, to be cut on the ground."""
    longest_mm = job.survey.way_up.longest_piece_mm
    return tuple(stock for stock in profile.stock if stock.length_mm <= longest_mm) or profile.stock


def _goes_up(job: Job, stock: tuple[StockLength, ...]) -> bool:
    """Whether stock that is bought gets up whole."""
    return all(length.length_mm <= job.survey.way_up.longest_piece_mm for length in stock)


def _unusable_notes(job: Job, profile: Board | Section) -> tuple[Finding, ...]:
    """Name the stock lengths that cannot be carried up."""
    longest_mm, say = job.survey.way_up.longest_piece_mm, Spoken(job.units)
    left_out = [stock for stock in profile.stock if stock.length_mm > longest_mm]
    if not left_out:
        return ()
    names = ", ".join(f"{stock.item} ({say.length(stock.length_mm)})" for stock in left_out)
    if len(left_out) == len(profile.stock):
        follows = "to be cut on the ground before it is carried up"
        advice = " Find a place to cut below, add a shorter length, or hire a hoist."
    else:
        follows, advice = "left out of the cutting", ""
    return (
        Finding(
            code="totals.stock-not-carried",
            grade="check" if advice else "note",
            place="job",
            text=(
                f"{profile.name}: {names} {follows}, because nothing longer than "
                f"{say.length(longest_mm)} gets up whole.{advice}"
            ),
            value=max(stock.length_mm for stock in left_out),
            limit=longest_mm,
            unit="mm",
            source=WAY_UP,
        ),
    )


def _too_long(
    profile: Board | Section, pieces: tuple[CutPiece, ...], longest_mm: float, say: Spoken
) -> tuple[Finding, ...]:
    """Stop for the pieces that no usable stock length holds, one finding per place."""
    by_place: dict[str, list[CutPiece]] = {}
    for piece in pieces:
        by_place.setdefault(piece.place, []).append(piece)
    findings = []
    for place, group in by_place.items():
        worst = max(group, key=lambda piece: (piece.length_mm, piece.id))
        others = f" and {len(group) - 1} more" if len(group) > 1 else ""
        findings.append(
            Finding(
                code="totals.piece-too-long",
                grade="stop",
                place=place,
                text=(
                    f"{worst.id}{others} needs {say.length(worst.length_mm)} of {profile.name} in one piece; "
                    f"the longest that can be bought and carried up is {say.length(longest_mm)}. Add a "
                    f"breaker board or a joint, or find a longer stock length and a way up for it."
                ),
                value=worst.length_mm,
                limit=longest_mm,
                unit="mm",
                source=WAY_UP,
            )
        )
    return tuple(findings)


def _by_length(profile: Board | Section, missing: list[str]) -> Assumption:
    """Say that a profile was cut at least length."""
    return Assumption(
        code="totals.cut-by-length",
        text=f"{profile.name} is cut at least length, not least cost: no price for {', '.join(missing)}.",
        source="price list",
    )


def _shared_rips(profile: Board | Section, strips: tuple[Strip, ...]) -> tuple[Assumption, ...]:
    """Say that narrow rips share a board, where any do."""
    count = sum(len(strip.beside) for strip in strips)
    if not count:
        return ()
    return (
        Assumption(
            code="totals.rips-share",
            text=(
                f"{profile.name}: {count} narrow pieces are ripped from beside another in the same length; "
                f"each keeps one factory edge."
            ),
            source="common practice, no source",
        ),
    )
