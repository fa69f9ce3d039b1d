"""Households in folders: the demo with its announced week, a metric one, an empty one, one of 600 products."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from pantrymeals.actions.announced import announce
from tests.conftest import ROOT

STORED_WEEK = ROOT / "tests" / "golden" / "demo_week.json"


def demo_with_its_week(folder: Path) -> Path:
    """The demo's household and book, with the stored week announced."""
    not_told = shutil.ignore_patterns("*.py", "*.sqlite*", "eight-weeks.*", "announced")
    shutil.copytree(ROOT / "demo", folder, ignore=not_told)
    announce(folder, STORED_WEEK.read_text(encoding="utf-8"), date(2026, 1, 17), 7)
    return folder


def empty(folder: Path) -> Path:
    """A household that has written down who it is, and nothing else."""
    folder.mkdir()
    (folder / "household.yaml").write_text(
        "household: Empty\ntoday: 2026-01-17\naltitude_ft: 500\npeople:\n  - {name: Ane, born: 1990-01-01}\n"
        "meals:\n  supper: {roles: [main]}\nplaces:\n  - {code: K, name: kitchen press, kind: pantry}\n"
    )
    (folder / "products.csv").write_text(f"{_HEADS}\n")
    (folder / "stock.csv").write_text("product,size,count,put_up,place\n")
    return folder


_HEADS = "product,family,kind,acid,sizes,loose,opened_days,deadline,must_last_to,contents"


def metric(folder: Path) -> Path:
    """Litres and kilos in a southern kitchen: two people, three dishes, no book yet."""
    (folder / "recipes").mkdir(parents=True)
    (folder / "household.yaml").write_text(
        "household: Rocca\ntoday: 2026-01-17\naltitude_ft: 300\npeople:\n  - {name: Ada, born: 1980-01-01}\n"
        "  - {name: Ugo, born: 1979-01-01}\nmeals:\n  supper: {roles: [main]}\n"
        "house_rules:\n  days_between: {main: 1}\n"
        "places:\n  - {code: A, name: first arch, kind: cellar}\n  - {code: B, name: second arch, kind: cellar}\n"
    )
    (folder / "products.csv").write_text(
        f"{_HEADS}\n"
        "Passata,tomato,jar,acidified,l,,5,new crop,2026-07-10,\n"
        "Chickpeas,beans,dry,,kg,yes,,order,2026-11-20,\n"
        "Lemons,fruit,cellar,,kg,yes,,keeps to,2026-04-01,\n"
    )
    (folder / "stock.csv").write_text(
        "product,size,count,put_up,place,source\n"
        "Passata,l,30,2025-08-20,A,tested sheet of 2024\n"
        "Chickpeas,kg,12,2025-10-01,B,\n"
        "Lemons,kg,9,2026-01-02,B,\n"
    )
    for name, use in (
        ("Pasta al sugo", "1 l Passata"),
        ("Chickpea pot", "1/2 kg Chickpeas"),
        ("Lemon rice", "1/4 kg Lemons"),
    ):
        (folder / "recipes" / f"{name.lower().replace(' ', '-')}.yaml").write_text(
            f"name: {name}\nrole: main\nserves: 2\nuses:\n  - {use}\nminutes: 30\nhands_on_minutes: 10\n"
            "method:\n  - Cook it.\n"
        )
    return folder


def six_hundred(folder: Path) -> Path:
    """600 products in two lots each at twelve places, with long names and odd letters among them."""
    folder.mkdir()
    places = [f"P{n}" for n in range(12)]
    (folder / "household.yaml").write_text(
        "household: Six Hundred\ntoday: 2026-01-17\naltitude_ft: 500\npeople:\n  - {name: Ane, born: 1990-01-01}\n"
        "meals:\n  supper: {roles: [main]}\nplaces:\n"
        + "".join(f"  - {{code: {code}, name: shelf number {code[1:]}, kind: cellar}}\n" for code in places)
    )
    names = [
        f"Preserve {n:03d} with a long name & <b>ødd</b> letters" if n % 50 == 0 else f"Preserve {n:03d}"
        for n in range(600)
    ]
    (folder / "products.csv").write_text(
        _HEADS + "\n" + "".join(f"{name},tomato,jar,acidified,qt; pt,,5,new crop,2026-07-10,\n" for name in names)
    )
    lots = [
        f"{name},{size},{n % 9 + 1},202{4 + n % 2}-08-20,{places[n % 12]}\n"
        for n, name in enumerate(names) for size in ("qt", "pt")
    ]  # fmt: skip
    (folder / "stock.csv").write_text("product,size,count,put_up,place\n" + "".join(lots))
    return folder
