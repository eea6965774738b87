"""Print every ratio to its baseline: the core's, whole commands, then the wizard's on a pty.

`python tests/bench/run.py [ROUNDS]`; six rounds of the wizard unless told, some minutes in all.
Every baseline is measured in the same run, turn and turn about; figures are medians, the wizard's
means of the middle half.
"""

from __future__ import annotations

import sys

import command_bench
import core_bench
import wizard_bench


def main(rounds: int = wizard_bench.ROUNDS) -> None:
    """Measure and print."""
    for line in core_bench.lines():
        print(line, flush=True)
    print()
    command_bench.main(rounds)
    print()
    wizard_bench.main(rounds)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
