"""A cut list becomes stop positions, whole steps, exact remainders, and what is left of the stock.

CAUTION: let the blade stop before a piece is taken away, and hold each piece as the saw's maker says.
"""

from pathlib import Path

import wholestep

examples = Path(__file__).parent
cuts = wholestep.CutList.load(examples / "jobs" / "tool_tray.toml").cuts()

for cut in cuts.cuts:
    setting = cut.setting
    if setting.remainder is None:
        print(f"{cut.number}. {cut.part} from stock {cut.stock}: by hand, {setting.by_hand}")
    else:
        remainder = setting.remainder.low.to_text("in")
        print(f"{cut.number}. {cut.part} from stock {cut.stock}: step {setting.step}, remainder {remainder}")
for piece in cuts.stock:
    print(f"stock {piece.number}: {piece.offcut.to_text('in')} left")
