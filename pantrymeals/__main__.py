"""`python -m pantrymeals`, and the command `pantrymeals`: Ctrl-C is heard before anything is loaded."""

# the part of signal that is there already: to load the rest of it takes longer than a finger
import _signal as signal  # type: ignore[import-not-found]
import gc
import os


def _stopped(_signal: int, _frame: object) -> None:
    os.write(2, b"Stopped; nothing was written.\n")
    os._exit(130)


def main() -> None:
    """Run a command. Until it is loaded, which takes longer than a finger needs, Ctrl-C ends it at once."""
    signal.signal(signal.SIGINT, _stopped)
    # next to nothing is thrown away while a command loads; to look for it every seven hundred things takes longer
    gc.set_threshold(200_000)
    from pantrymeals.cli.main import main as begin

    try:
        begin()
    finally:
        # all is said: while Python clears up, Ctrl-C would end it as if the answer were not whole
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        # and there is nothing to look through before the process ends: all of it goes
        gc.freeze()


if __name__ == "__main__":
    main()
