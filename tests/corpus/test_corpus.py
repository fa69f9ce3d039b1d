"""1,600 households with one thing wrong: read whole or told by file and line, in time, and no number invented."""

from __future__ import annotations

import shutil
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path
from types import FrameType

import pytest
from typer.testing import CliRunner

from pantrymeals.cli.main import app
from pantrymeals.errors import MistakesInFiles, PantryError
from pantrymeals.files import values
from pantrymeals.files.household import read_household
from pantrymeals.records import Household
from tests.corpus import as_written
from tests.corpus.mutations import Mutation, mutations

HERE = Path(__file__).parent
HUT = HERE.parent / "kitchens" / "hut"
STARTER = HERE.parent / "kitchens" / "hut_starter"
SEED = 20261127
MANY, TO_A_TEST = 1600, 100
LONGEST_SECONDS = 5


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    """The hut's files, with a season of its own."""
    found = {str(p.relative_to(HUT)): p.read_bytes() for p in HUT.rglob("*") if p.is_file()}
    return found | {"season.yaml": (HERE / "season.yaml").read_bytes()}


@pytest.fixture(scope="module")
def corpus(files: dict[str, bytes]) -> list[Mutation]:
    return list(mutations(files, SEED, MANY))


@pytest.fixture
def hut(tmp_path: Path, files: dict[str, bytes]) -> Path:
    """A copy of the hut to be spoilt."""
    folder = tmp_path / "hut"
    shutil.copytree(HUT, folder)
    (folder / "season.yaml").write_bytes(files["season.yaml"])
    return folder


@contextmanager
def at_most(seconds: int) -> Iterator[None]:
    """Whatever takes longer is a failure, not a wait."""

    def late(_number: int, _frame: FrameType | None) -> None:
        raise TimeoutError(f"not done in {seconds} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def outcome(folder: Path, starter: Path | None = STARTER) -> Household | MistakesInFiles:
    try:
        with at_most(LONGEST_SECONDS):
            return read_household(folder, starter=starter)
    except MistakesInFiles as mistakes:
        return mistakes


def faults(folder: Path, found: Household | MistakesInFiles) -> list[str]:
    """What is wrong with an answer: mistakes without a place, or numbers that the files do not say."""
    if isinstance(found, MistakesInFiles):
        out = [f"without a place: {m}" for m in found.mistakes if not m.place.file or not m.wrong]
        return out + [f"not one plain line: {m!r}" for m in map(str, found.mistakes) if not m.isprintable()]
    said, took = as_written.Written(folder).facts, as_written.read(found)
    out = [f"read, not written: {fact}" for fact in (took - said)]
    out += [f"written, not read: {fact}" for fact in (said - took) if fact[2:3] != ("hands on",)]
    return out + as_written.amounts_not_as_written(found)


def test_the_hut_itself_reads_as_written(hut: Path) -> None:
    found = outcome(hut)
    assert isinstance(found, Household), str(found)
    assert faults(hut, found) == []
    assert len(as_written.read(found)) > 100


def test_a_reader_that_rounds_is_caught(hut: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    exact = values.number
    monkeypatch.setattr(values, "number", lambda text: Fraction(round(exact(text))))
    assert len(faults(hut, outcome(hut))) >= 5


@pytest.mark.parametrize("start", range(0, MANY, TO_A_TEST))
def test_one_thing_wrong(start: int, hut: Path, files: dict[str, bytes], corpus: list[Mutation]) -> None:
    wrong: list[str] = []
    for mutation in corpus[start : start + TO_A_TEST]:
        (hut / mutation.file).write_bytes(mutation.content)
        try:
            found = outcome(hut)
            wrong += [f"{mutation.number} {mutation.what} of {mutation.file}: {f}"[:300] for f in faults(hut, found)]
        except Exception as error:
            wrong.append(f"{mutation.number} {mutation.what} of {mutation.file}: {type(error).__name__}: {error}"[:300])
        (hut / mutation.file).write_bytes(files[mutation.file])
    assert wrong == []


DEMO = HERE.parents[1] / "demo"
LARGE = 40
DEMO_FILES = ("products.csv", "stock.csv", "open.csv", "standing.csv", "household.yaml", "calendar.yaml", "season.yaml")


def test_a_large_household_with_one_thing_wrong(tmp_path: Path) -> None:
    whole = {name: (DEMO / name).read_bytes() for name in DEMO_FILES}
    folder = tmp_path / "large"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("put-up-book*", "*.py"))
    wrong: list[str] = []
    for mutation in mutations(whole, SEED, LARGE):
        (folder / mutation.file).write_bytes(mutation.content)
        found = outcome(folder, None)
        if isinstance(found, MistakesInFiles):
            wrong += [f"{mutation.what} of {mutation.file}: {f}" for f in faults(folder, found)]
        (folder / mutation.file).write_bytes(whole[mutation.file])
    assert wrong == []


COMMANDS = (("lots", "beans"), ("run-out",), ("menu", "--days", "2", "--seconds", "1"), ("season", "--seconds", "1"))
COMMANDED = 12


def test_commands_on_households_that_are_merely_odd(hut: Path, files: dict[str, bytes], corpus: list[Mutation]) -> None:
    """What was read though it is odd goes through the commands: an answer, or mistakes in plain words."""
    wrong: list[str] = []
    run = 0
    for mutation in corpus[::7]:
        (hut / mutation.file).write_bytes(mutation.content)
        if isinstance(outcome(hut), Household) and run < COMMANDED:
            for command in COMMANDS:
                for left in hut.glob("put-up-book*"):
                    left.unlink()
                done = CliRunner().invoke(app, [*command, "--larder", str(hut)])
                error = done.exception
                run += 1
                if error is not None and not isinstance(error, SystemExit | PantryError):
                    wrong.append(f"{mutation.number} {mutation.what} of {mutation.file}: {command}: {error!r}")
                if done.exit_code not in (0, 1) or "\x1b" in done.output:
                    wrong.append(f"{mutation.number} {mutation.what}: {command}: code {done.exit_code}")
        (hut / mutation.file).write_bytes(files[mutation.file])
    assert run >= COMMANDED
    assert wrong == []
