"""A dish as a household has it: read, asked about, shown as the menu will have it, and written when told."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from msgspec.structs import replace

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.dish import dish_sheet
from pantrymeals.errors import MistakesInFiles, NotUnderstood, PantryError
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.dishes_told.json_ld import recipes_in
from pantrymeals.files.dishes_told.recipe_file import file_name, recipe_text, tags_told
from pantrymeals.files.dishes_told.text import dishes_in
from pantrymeals.files.dishes_told.understand import ForWhom, understand
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.files.household import RECIPES
from pantrymeals.files.lists.rows import MOST_BYTES, decoded
from pantrymeals.files.recipes import gather_dishes
from pantrymeals.on_disk import refuse_no_file, write_safely
from pantrymeals.plans.dish_told import DishAsked, DishRead, DishTold, NotedLine, TakenLine
from pantrymeals.records import ROLES, Dish, Household, Role
from pantrymeals.units import as_words, take_number

Ask = Callable[[DishAsked], str]
"""Asks somebody at a terminal; '' where there is no answer."""
KEYS = ("role", "serves", "minutes", "hands-on", "days-between", "name")
"""What is answered of the dish itself, beside its lines."""
SKIP = "skip"
_LONGEST = 10_000
_MOST_DIGITS = 9
_PORTIONS = ("", "people", "persons", "portions", "servings")


def told_in(source: Path, which: str = "") -> DishTold:
    """The dish of a file: text, a saved web page or JSON; '-' for what is typed or piped. Raises PantryError.

    which: a part of the dish's name, where there are several.
    """
    text, page, encoding = _text_of(source)
    found = recipes_in(text, source.name) if page else dishes_in(text)
    named = [dish for dish in found if fold(which) in fold(dish.name)]
    if len(named) == 1:
        return replace(named[0], guesses=(*named[0].guesses, encoding)) if encoding else named[0]
    if not found:
        raise PantryError(f"there is no dish in {source}: write its name, what it takes line by line, and the method")
    names = ", ".join(f"'{dish.name}'" for dish in found)
    raise NotUnderstood(f"{source} has {len(found)} dishes: {names}; say which with --which")


def _text_of(source: Path) -> tuple[str, bool, str]:
    """(the text, whether it is a page or JSON, what was taken for granted of its letters)."""
    if str(source) == "-":
        text, encoding = sys.stdin.read(MOST_BYTES + 1), ""
        if len(text) > MOST_BYTES:
            raise PantryError("what was typed is longer than any dish; give the dish alone")
    else:
        refuse_no_file(source)
        try:
            if source.stat().st_size > MOST_BYTES:
                raise PantryError(f"{source} is larger than any dish; save the page alone, without its pictures")
            data = source.read_bytes()
            if b"\0" in data:
                raise PantryError(f"{source} is no text; save the dish as text, or its web page as HTML")
            text, encoding = decoded(data)
        except OSError as error:
            raise PantryError(f"{source} cannot be read ({error.strerror}); name the file with your dish") from None
    text = "".join(c if c.isprintable() or c in "\n\t" else " " for c in text.replace("\r\n", "\n").replace("\r", "\n"))
    kind = source.suffix.casefold()
    return text, kind in (".html", ".htm", ".json", ".jsonld") or text.lstrip()[:1] in ("<", "{", "["), encoding


def read_dish(
    household: Household, told: DishTold, answers: Mapping[str, Sequence[str]], ask: Ask | None = None
) -> DishRead:
    """A dish against a household: its file's text where nothing is left to ask. Raises NotUnderstood."""
    by_key = {key: list(said) for key, said in answers.items()}
    if not told.lines:
        raise PantryError(f"{told.name}: no line of it says what it takes, an amount and its name; nothing was written")
    known_keys = {*KEYS, *(line.key for line in told.lines)}
    if stray := next((key for key in by_key if key not in known_keys), ""):
        raise NotUnderstood(f"'{stray}' is no line of this dish, nor one of {', '.join(KEYS)}")
    read = _read(household, told, by_key)
    while ask is not None and read.questions:
        question = read.questions[0]
        answered = ask(question) or SKIP
        if question.key == "name" and fold(answered) == SKIP:
            raise PantryError("The dish is left as it was; nothing was written.")
        by_key.setdefault(question.key, []).append(answered)
        read = _read(household, told, by_key)
    return read


def _read(household: Household, told: DishTold, answers: Mapping[str, list[str]]) -> DishRead:
    known = KnownProducts.of(household.products.values())
    lines = understand(told.lines, ForWhom(known, household.measures, answers))
    taken = tuple(line for line in lines if isinstance(line, TakenLine))
    noted = tuple(line for line in lines if isinstance(line, NotedLine))
    facts = _Facts(household, told, answers)
    facts.read(taken)
    questions = (*(line for line in lines if isinstance(line, DishAsked)), *facts.questions)
    if questions:
        return DishRead(told, taken, noted, questions, said=tuple(facts.said))
    products = [household.products[name] for line in taken for name in line.products[:1]]
    tags = tags_told(facts.name, products)
    text = recipe_text(
        facts.name, facts.role, as_words(facts.serves), facts.minutes, facts.hands_on, facts.days_between,
        taken, noted, tags, told.steps, told.notes,
    )  # fmt: skip
    said = [*facts.said, *([f"Its tags, by what it takes: {', '.join(tags)}."] if tags else [])]
    return DishRead(told, taken, noted, (), text, file_name(facts.name, _there(household)), tuple(said))


class _Facts:
    """What is known of a dish beside its lines; what is not is a question."""

    def __init__(self, household: Household, told: DishTold, answers: Mapping[str, list[str]]) -> None:
        self.household, self.told, self.answers = household, told, answers
        self.questions: list[DishAsked] = []
        self.said: list[str] = []
        self.name = told.name
        self.role: Role = "main"
        self.serves = Fraction(1)
        self.minutes = self.hands_on = 0
        self.days_between: int | None = None

    def read(self, taken: Sequence[TakenLine]) -> None:
        """All of it, in the order in which a cook would be asked."""
        self._role()
        self._serves()
        self.minutes = self._number("minutes", self.told.minutes, "how many minutes in all, from the shelf?")
        self.hands_on = self._number("hands-on", self.told.hands_on, "how many of them with your hands on it?")
        if self.hands_on > self.minutes and not self.questions:
            self._ask(
                "hands-on", f"{self.hands_on} minutes do not fit in {self.minutes}: how many with your hands on it?"
            )
        between = self._last("days-between")
        if between:
            self.days_between = self._whole("days-between", between, 1, 366)
        else:
            of_role = self.household.rules.days_between.get(self.role)
            self.said.append(
                f"Days between: {of_role}, as your house rules have it for the role {self.role}." if of_role
                else "Days between: 5, for neither it nor your house rules say any."
            )  # fmt: skip
        self._name(taken)

    def _last(self, key: str) -> str:
        return next((a for a in reversed(self.answers.get(key, ())) if a.strip() and fold(a) != SKIP), "")

    def _ask(self, key: str, asked: str, choices: tuple[str, ...] = ()) -> None:
        self.questions.append(DishAsked(key, "", asked, choices))

    def _role(self) -> None:
        answer = fold(self._last("role"))
        found = next((role for role in ROLES if role == answer), None) or (self.told.role if not answer else None)
        if found is None:
            self._ask("role", "what is it at the table?", ROLES)
        elif not answer:
            self.said.append(f"It is a {found}, as it says of itself.")
        self.role = found or "main"

    def _serves(self) -> None:
        said = self._last("serves")
        answer = take_number(said)
        found = self.told.serves if not said else answer[0] if answer and fold(answer[1]) in _PORTIONS else None
        if found is None or found <= 0:
            self._ask("serves", "how many portions does it give?", self.told.serves_choices)
        self.serves = found or Fraction(1)

    def _number(self, key: str, told: int | None, asked: str) -> int:
        answer = self._last(key)
        if answer:
            return self._whole(key, answer, 0, _LONGEST)
        if told is None:
            self._ask(key, asked)
        return told or 0

    def _whole(self, key: str, text: str, least: int, most: int) -> int:
        if not (text.isascii() and text.isdigit() and len(text) < _MOST_DIGITS and least <= int(text) <= most):
            self._ask(key, f"'{text}' is no whole number from {least} to {most}: how many?")
            return least
        return int(text)

    def _name(self, taken: Sequence[TakenLine]) -> None:
        """The same dish twice is asked about: of the same name, or of the same makings under another."""
        self.name = " ".join((self._last("name") or self.told.name).split())
        own = [dish for dish in self.household.dishes.values() if dish.book == "household"]
        named = next((dish for dish in own if fold(dish.name) == fold(self.name)), None)
        if named is not None:
            self._ask("name", f"there is a dish '{named.name}' already: give this another name, or leave it", (SKIP,))
            return
        makings = {(name, line.note) for line in taken for name in line.products}
        same = next((dish for dish in own if taken and self._same(dish, makings)), None)
        if same is not None and not self._last("name"):
            asked = f"it takes and does what '{same.name}' does: say its name again to have both, or leave it"
            self._ask("name", asked, (self.name, SKIP))
        if fold(self.name) in {fold(n) for n, d in self.household.dishes.items() if d.book == "starter"}:
            self.said.append("It takes the place of the dish of that name in the starter book.")

    def _same(self, dish: Dish, makings: set[tuple[str, str]]) -> bool:
        theirs = {(option.product, option.note) for use in dish.uses for option in use.options}
        return theirs == makings and dish.method == self.told.steps


def _there(household: Household) -> list[str]:
    folder = Path(household.folder) / RECIPES
    return [path.name for path in folder.iterdir()] if folder.is_dir() else []


def with_dish(household: Household, read: DishRead) -> tuple[Household, Dish]:
    """The household with the dish among its own, read from the very text that would be written."""
    gathering = Gathering()
    known = KnownProducts.of(household.products.values())
    with tempfile.TemporaryDirectory() as folder:
        write_safely(Path(folder) / read.file, read.text.encode(), may_make=read.file)
        book = gather_dishes(Path(folder), known, "household", True, gathering, household.measures)
    if gathering.found:
        raise MistakesInFiles(gathering.found)
    (dish,) = book.dishes.values()
    return replace(household, dishes={**household.dishes, dish.name: dish}), dish


def write_dish_file(household: Household, read: DishRead) -> Path:
    """Write it among the household's recipes. Raises PantryError while a question is open."""
    if read.questions:
        raise PantryError(f"{len(read.questions)} questions are open; nothing was written")
    folder = Path(household.folder) / RECIPES
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise PantryError(f"{folder} cannot be made ({error.strerror})") from None
    write_safely(folder / read.file, read.text.encode(), may_make=read.file)
    return folder / read.file


def dish_read_answer(household: Household, read: DishRead) -> Answer:
    """What was understood line by line, and what is asked; where nothing is, the dish as the menu will have it."""
    from pantrymeals.reports.terminal.dish_told import write_dish_read

    if read.questions:
        return Answer(lambda paper: write_dish_read(paper, read, None, household))
    there, dish = with_dish(household, read)
    sheet = dish_sheet(there, dish.name)
    return Answer(lambda paper: write_dish_read(paper, read, sheet, there))


def answers_of(texts: Sequence[str]) -> dict[str, list[str]]:
    """'5=note', 'role=main': answers by what they answer. Raises NotUnderstood where one is none."""
    found: dict[str, list[str]] = {}
    for text in texts:
        key, equals, answer = text.partition("=")
        if not equals or not key.strip() or not answer.strip():
            raise NotUnderstood(
                f"'{text}' is no answer; write what it answers and the answer, such as 5=note or role=main"
            )
        found.setdefault(fold(key).replace(" ", "-").replace("_", "-"), []).append(answer.strip())
    return found
