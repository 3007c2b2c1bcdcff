"""Every screen, in every state, in both languages: nothing clipped, small, faint or on top of another."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.core.window import Window

from mobile.theme import LEAST_CONTRAST, THEMES, contrast, rgb
from tests.mobile.screens.reading import faults
from tests.mobile.screens.scenes import SCENES, Scene
from tests.mobile.stage import Stage  # first: it settles Kivy


@pytest.fixture(autouse=True)
def smallest_phone() -> None:
    Window.size = (360, 740)


@pytest.mark.parametrize("scene", SCENES, ids=lambda one: one.__name__)
def test_it_can_be_read_and_tapped_in_both_languages(tmp_path: Path, scene: Scene) -> None:
    """In English on paper, then as it stands in Spanish at night."""
    stage = Stage(tmp_path).joined("en")
    stage.wear("paper")
    with stage:
        scene(stage)
        assert faults_of(stage) == []
        stage.writes("es")
        stage.wear("night")
        stage.redraw()
        assert faults_of(stage) == []


@pytest.mark.parametrize("scene", SCENES, ids=lambda one: one.__name__)
def test_it_can_be_read_and_tapped_at_twice_the_size_in_the_longer_language(
    tmp_path: Path, scene: Scene
) -> None:
    stage = Stage(tmp_path).joined("es")
    stage.wear("sun", "2.0")
    with stage:
        scene(stage)
        assert faults_of(stage) == []


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
