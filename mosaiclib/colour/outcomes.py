"""The three honest ways in which colours cannot be arranged: too few pieces, impossible, not found."""

__all__ = ["CannotBe", "NotFound", "StockShort"]

from mosaiclib.errors import MosaicError


class StockShort(MosaicError):
    """There are fewer tiles than pieces, whatever the arrangement.

    Parameters
    ----------
    pieces : int
        Pieces in the layout.
    stock : int
        Tiles in hand, all colours together.
    need : int, optional
        Tiles that the pieces take, where some are parts of a tile; as many as pieces if left out.

    Attributes
    ----------
    short : int
        How many tiles are missing.

    Examples
    --------
    >>> str(StockShort(25, 20))
    'The layout has 25 pieces and the stock 20 tiles: 5 short.'
    >>> str(StockShort(25, 20, need=22))
    'The layout has 25 pieces, which take 22 tiles, and the stock 20 tiles: 2 short.'
    """

    def __init__(self, pieces: int, stock: int, *, need: int | None = None) -> None:
        wanted = pieces if need is None else need
        taken = "" if need is None else f", which take {need} tiles,"
        super().__init__(f"The layout has {pieces} pieces{taken} and the stock {stock} tiles: {wanted - stock} short.")
        self.pieces, self.stock, self.short = pieces, stock, wanted - stock


class CannotBe(MosaicError):
    """No arrangement exists, and that is proven.

    Parameters
    ----------
    message : str
        The sentence for the learner.
    reason : str
        "one colour" (one colour has more tiles than the layout can take), "odd ring" (two colours on
        pieces that close an odd ring), "too few colours" or "counts" (these numbers do not fit).
    most : int, optional
        The most pieces of one colour that the layout can take, where that is the reason.
    missing : int, optional
        How many pieces that leaves without a colour, where that is the reason.
    nearest : tuple of int, optional
        Numbers of tiles that would do: of two alternating colours the nearest, in the order of the
        stock; of a forced pattern the only ones, the largest first.

    Examples
    --------
    >>> CannotBe("Two colours cannot alternate round an odd ring.", "odd ring").reason
    'odd ring'
    """

    def __init__(
        self,
        message: str,
        reason: str,
        *,
        most: int | None = None,
        missing: int | None = None,
        nearest: tuple[int, ...] | None = None,
    ) -> None:
        super().__init__(message)
        self.reason, self.most, self.missing, self.nearest = reason, most, missing, nearest


class NotFound(MosaicError):
    """A stated search ended without an answer; that proves nothing.

    Parameters
    ----------
    message : str
        The sentence for the learner.
    pieces : int
        Pieces in the layout.
    starts, rounds : int
        First colourings tried, and rounds of exchanging colours made on them.
    work : float
        Limit of the complete search in the solver's own deterministic units (about a second each);
        0 where the layout was too large for it.

    Examples
    --------
    >>> NotFound("Nothing found.", 25, starts=3, rounds=150, work=0.0).starts
    3
    """

    def __init__(self, message: str, pieces: int, *, starts: int, rounds: int, work: float) -> None:
        super().__init__(message)
        self.pieces, self.starts, self.rounds, self.work = pieces, starts, rounds, work
