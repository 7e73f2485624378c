"""Every report and every command is found by its file, and says what it is for."""

from __future__ import annotations

import importlib

import click
import pytest

from framecheck.core.report import Report
from framecheck.core.shelf import load, modules


@pytest.mark.parametrize("name", modules("framecheck.reports"))
def test_a_report_has_the_name_of_its_file(name: str) -> None:
    (report,) = load("framecheck.reports", name, Report)
    assert report.name == name
    assert report.says


@pytest.mark.parametrize("name", modules("framecheck.cli"))
def test_a_command_says_in_its_first_line_which_question_it_answers(name: str) -> None:
    command = importlib.import_module(f"framecheck.cli.{name}").command
    assert isinstance(command, click.Command)
    assert command.name == name
    assert (command.short_help or "").endswith("?")
    assert (command.help or "").splitlines()[0].endswith("?")
