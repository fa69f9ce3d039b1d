"""The one way in which a file is written: whole or not at all, and never over what is the household's own."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from pantrymeals.errors import PantryError

_BOOK = "put-up-book.sqlite"
_TELLS_A_HOUSEHOLD = ("household.yaml", "products.csv", _BOOK)
_OWN = frozenset(
    {*_TELLS_A_HOUSEHOLD, "stock.csv", "open.csv", "standing.csv", "calendar.yaml", "season.yaml", "slips.csv"}
    | {"put-up-book.csv", f"{_BOOK}-wal", f"{_BOOK}-shm"}
)
"""Files that a household writes itself, or has written by its book."""
_SQLITE = b"SQLite format 3\0"
_MENDING = {
    errno.ENOENT: "make its folder first, or name another",
    errno.ENOTDIR: "name a file in a folder",
    errno.ENOSPC: "make room, or write it elsewhere",
    errno.EACCES: "see who may write there, or write it elsewhere",
    errno.EROFS: "write it elsewhere",
    errno.ENAMETOOLONG: "give it a shorter name",
}


def write_safely(path: Path, content: bytes, *, may_make: str = "") -> None:
    """Put ``content`` at ``path`` in one step: a reader sees the old file or the new one, never half.

    may_make: the name of an own file of a household that this may make where there is none.

    Raises PantryError for what is the household's own, for links, devices and folders, and when the folder is
    missing, full or read-only; what was there is then untouched.
    """
    with put_in_place(path, may_make=may_make) as part:
        part.write_bytes(content)


@contextmanager
def put_in_place(path: Path, *, over: bool = True, may_make: str = "") -> Iterator[Path]:
    """An empty file beside ``path``, to be filled: it takes its place, on the disk, when the block ends well.

    over: whether a file that is there already may be written over. Raises PantryError as ``write_safely`` does.
    """
    import tempfile  # with all that it loads, most of what a stroke in the tally would wait for here

    refuse_what_is_not_ours(path, over=over, may_make=may_make)
    part = None
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".part")
        part = Path(name)
        os.close(handle)
        yield part
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        # mkstemp keeps a file to its owner; a printed menu is for the whole house.
        part.chmod(0o644)
        _move(part, path, over)
    except OSError as error:
        mending = _MENDING.get(error.errno or 0, "name another file")
        raise PantryError(f"{path}: cannot be written: {error.strerror}; {mending}") from None
    finally:
        if part is not None:
            with suppress(OSError):
                part.unlink(missing_ok=True)


def _move(part: Path, path: Path, over: bool) -> None:
    """Let the part take its place; where nothing may be written over, by a link that fails if something is there."""
    if over:
        part.replace(path)
        return
    try:
        os.link(part, path)
    except FileExistsError:
        raise _there_already(path) from None
    except OSError:  # a file system without links (some memory sticks)
        part.rename(path)


def _there_already(path: Path) -> PantryError:
    return PantryError(f"{path}: something is there already, and is not overwritten; choose another name")


def refuse_what_is_not_ours(path: Path, *, over: bool = True, may_make: str = "") -> None:
    """Raise PantryError for a path that is not to be written, saying what would be right."""
    try:
        mode = path.lstat().st_mode
    except OSError:
        mode = None
    if _is_own(path) and not (mode is None and path.name == may_make):
        raise PantryError(f"{path}: this is the household's own file, and is not overwritten; choose another name")
    if mode is None:
        if not path.parent.exists():
            raise PantryError(f"{path}: cannot be written: {os.strerror(errno.ENOENT)}; {_MENDING[errno.ENOENT]}")
        return
    if stat.S_ISLNK(mode):
        raise PantryError(f"{path}: this is a link; name the file itself ({path.readlink()}), or another")
    if stat.S_ISDIR(mode):
        raise PantryError(f"{path}: this is a folder; name a file in it, such as {path / 'larder'}.csv")
    if not stat.S_ISREG(mode):
        raise PantryError(f"{path}: this is a device or a pipe, not a file; name a file, such as larder.csv")
    if not over:
        raise _there_already(path)
    if _begins_as_a_book(path):
        raise PantryError(
            f"{path}: this is a put-up book or a copy of one, and is not overwritten; choose another name"
        )


def _is_own(path: Path) -> bool:
    """True for a household's own file where it is looked for: in a household's folder or among its recipes."""
    folder, name = Path(os.path.realpath(path.parent)), path.name.casefold()
    if name in _OWN and _is_household(folder):
        return True
    recipes = next((f for f in (folder, *folder.parents) if f.name.casefold() == "recipes"), None)
    return recipes is not None and name.endswith((".yaml", ".yml")) and _is_household(recipes.parent)


def _is_household(folder: Path) -> bool:
    return any((folder / name).exists() for name in _TELLS_A_HOUSEHOLD)


def _begins_as_a_book(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(len(_SQLITE)) == _SQLITE
    except OSError:
        return False


def append_lines(path: Path, heads: str, lines: str) -> None:
    """Add lines to a file of the household, on the disk before this returns; ``heads`` first where it is new.

    heads, lines: whole lines, each with its end. What stands there is not touched. Raises PantryError when there is
    no such folder or it cannot be written.
    """
    try:
        handle = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT, 0o644)
        try:
            os.write(handle, (_start(handle, heads) + lines).encode())
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        raise PantryError(f"{path}: cannot be written: {error.strerror}") from None


def _start(handle: int, heads: str) -> str:
    """What must stand before the new lines: the heads in a new file, an end to a line left unfinished."""
    size = os.fstat(handle).st_size
    if size == 0:
        return heads
    return "" if os.pread(handle, 1, size - 1) == b"\n" else "\n"


def refuse_no_file(path: Path) -> None:
    """Raise PantryError for a pipe or a device, which would keep us waiting for ever."""
    if path.exists() and not path.is_file() and not path.is_dir():
        raise PantryError(f"{path}: this is not an ordinary file; put a plain file in its place")
