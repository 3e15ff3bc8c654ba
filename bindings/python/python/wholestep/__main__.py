"""The ``wholestep`` command: ``python -m wholestep`` and the script the wheel installs."""

import signal
import sys

from ._native import command


def main() -> int:
    """Run the command with this process's arguments and return its exit status."""
    # Python would only note Ctrl-C until the native command returned.
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    return command(sys.argv)


if __name__ == "__main__":
    sys.exit(main())
