"""Parts in a table of one's own, as a spreadsheet writes it, become the sheet for the saw.

CAUTION: let the blade stop before a piece is taken away, and hold each piece as the saw's maker says.
"""

from pathlib import Path
from tempfile import TemporaryDirectory

from wholestep import Axis, CutList, Stock

PARTS = """\
name,length (mm),quantity
shelf,612.5,3
upright,1180,2
cleat,90,4
"""

stop = Axis.load(Path(__file__).parent / "axes" / "belt_stop.toml")
with TemporaryDirectory() as folder:
    table = Path(folder) / "bookcase.csv"
    table.write_text(PARTS, encoding="utf-8")
    boards = (Stock("2400", 3),)
    wanted = CutList(
        name="Bookcase", unit="mm", kerf="3.2", end_trim="10", shortest_to_hold="150", stock=boards, axis=stop
    ).with_parts_from(table)
print(wanted.cuts())
