"""The command line.  It holds no logic: every command calls the public function of the same name."""

from __future__ import annotations

__all__ = ["main"]


def main() -> None:
    """Run the command line; a stop while it is still being loaded is one like any other."""
    try:
        from .app import main as run

        run()
    except KeyboardInterrupt:
        import sys

        print("stopped; nothing was written", file=sys.stderr)
        sys.exit(130)
