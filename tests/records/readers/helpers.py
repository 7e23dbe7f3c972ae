"""Small pitch logs written by tests."""

from pathlib import Path

HEADER = "game,at_bat,pitch_no,balls,strikes,pitcher,hitter,pitch,result"
ROWS = (
    "opener,1,1,0,0,Ash Reed,Lew Toll,fastball,ball",
    "opener,1,2,1,0,Ash Reed,Lew Toll,changeup,foul",
    "opener,1,3,1,1,Ash Reed,Lew Toll,curveball,in play",
    "opener,2,1,0,0,Ash Reed,Moe Pratt,fastball,called strike",
)


def write_log(path: Path, *rows: str, header: str = HEADER) -> Path:
    path.write_text("\n".join((header, *rows)) + "\n", encoding="utf-8")
    return path


def with_columns(names: str, *cells: str, rows: tuple[str, ...] = ROWS) -> tuple[str, ...]:
    """The header and rows of a log with more columns at the end."""
    full = [*cells, *[""] * (len(rows) - len(cells))]
    more = names.count(",")
    return (
        f"{HEADER},{names}",
        *(f"{row},{text or ',' * more}" for row, text in zip(rows, full, strict=True)),
    )
