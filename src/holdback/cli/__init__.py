"""The command line: one module a command, each imported only when it is asked for."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from holdback.errors import HoldbackError

__all__ = ["main"]


def main(argv: Sequence[str] | None = None) -> int:
    """Exit status of the `holdback` command.

    Parameters
    ----------
    argv : sequence of str or None
        Arguments after the program name; None takes those of the process.

    Returns
    -------
    int
        0 when done, 1 when something is wrong with the input (one message on standard error), 2 for a bad call.
    """
    from holdback.cli.parser import parsed

    arguments = parsed(sys.argv[1:] if argv is None else list(argv))
    try:
        return int(arguments.run(arguments))
    except HoldbackError as error:
        from holdback.cli.output import print_faults

        print_faults(error, as_json=bool(getattr(arguments, "json", False)))
        return 1
    except BrokenPipeError:
        sys.stderr.close()
        return 1
    except KeyboardInterrupt:
        return 130
