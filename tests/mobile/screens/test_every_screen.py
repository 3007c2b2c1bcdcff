"""Every screen, in every state, in both languages, at 100 and at 200 %: nothing clipped, small, faint or covered."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from kivy.core.window import Window

from mobile.screens.form import Form
from mobile.screens.round import Round
from mobile.theme import LEAST_CONTRAST, THEMES, contrast, rgb
from tests.mobile.screens.reading import faults
from tests.mobile.screens.scenes import SCENES, Scene
from tests.mobile.stage import Stage  # first: it settles Kivy


@pytest.fixture(autouse=True)
def smallest_phone() -> None:
    Window.size = (360, 740)


@pytest.mark.parametrize("scene", SCENES, ids=lambda one: one.__name__)
def test_it_can_be_read_and_tapped_in_both_languages_and_at_twice_the_size(
    tmp_path: Path, scene: Scene
) -> None:
    """In English on paper; as it stands in Spanish at night; in Spanish in the sun at twice the size, each step of
    it, since there a screen takes several."""
    stage = Stage(tmp_path).joined("en")
    stage.wear("paper")
    with stage:
        scene(stage)
        assert faults_of(stage) == []
        stage.writes("es")
        for theme, scale in (("night", "1.0"), ("sun", "2.0")):
            stage.wear(theme, scale)
            stage.redraw()
            for step in steps_of(stage):
                step()
                assert faults_of(stage) == [], f"{theme}, {scale}"


def steps_of(stage: Stage) -> Iterator[Callable[[], None]]:
    """What brings up each step of the screen that stands, the first as it is."""
    assert stage.app is not None
    screen = stage.app.manager.current_screen
    yield lambda: None
    if isinstance(screen, Form) and screen._steps:
        yield screen.to_pad
    if isinstance(screen, Round) and screen.shown is not None:
        for _ in screen._steps(screen.shown)[1:]:
            yield screen.go_on


def faults_of(stage: Stage) -> list[str]:
    stage.hand.settle()
    assert stage.app is not None
    return faults(stage.app.manager.current_screen)


def test_every_pair_of_colours_in_every_theme_has_seven_to_one() -> None:
    for theme in THEMES.values():
        on_paper = [theme.ink, theme.ghost, theme.wrong]
        on_ink = [theme.paper, theme.ghost_on_ink, theme.wrong_on_ink]
        assert all(contrast(rgb(one), rgb(theme.paper)) >= LEAST_CONTRAST for one in on_paper), theme.name
        assert all(contrast(rgb(one), rgb(theme.ink)) >= LEAST_CONTRAST for one in on_ink), theme.name
