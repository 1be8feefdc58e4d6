"""What is no module reaches an installed wearby too: looks, catalogue, samples, formats."""

from __future__ import annotations

import tomllib
from fnmatch import fnmatch
from pathlib import Path

import pytest

PACKAGES = ("planner", "screens", "sample_projects")


@pytest.mark.parametrize("package", PACKAGES)
def test_every_file_is_packed(package: str) -> None:
    """Each file beneath a package is a module, or named as its data; and so is each package."""
    settings = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["tool"][
        "setuptools"
    ]
    assert any(fnmatch(package, one) for one in settings["packages"]["find"]["include"])
    data: dict[str, list[str]] = settings["package-data"]
    files = [
        file
        for file in Path(package).rglob("*")
        if file.is_file() and file.suffix != ".pyc" and not file.name.startswith(".")
    ]
    assert len(files) > 5
    for file in files:
        if file.suffix == ".py":
            continue
        named = [
            folder / pattern
            for name, patterns in data.items()
            for folder in (Path(*name.split(".")),)
            for pattern in patterns
        ]
        assert any(file.match(str(one)) and file.parent == one.parent for one in named), file
