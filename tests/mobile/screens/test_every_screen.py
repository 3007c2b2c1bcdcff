"""Every screen, in every state, in both languages: nothing clipped, small, faint or on top of another."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.core.window import Window

from mobile.theme import LEAST_CONTRAST, THEMES, contrast, rgb
from tests.mobile.screens.reading import faults
from tests.mobile.screens.scenes import SCENES, Scene
from tests.mobile.stage import Stage  # first: it settles Kivy


@pytest.mark.parametrize(("language", "theme"), [("en", "paper"), ("es", "night")])
@pytest.mark.parametrize("scene", SCENES, ids=lambda one: one.__name__)
def test_it_can_be_read_and_tapped_on_the_smallest_phone(
    tmp_path: Path, scene: Scene, language: str, theme: str
) -> None:
    assert faults_of(tmp_path, scene, language, theme, "1.0") == []


@pytest.mark.parametrize("scene", SCENES, ids=lambda one: one.__name__)
def test_it_can_be_read_and_tapped_at_twice_the_size_in_the_longer_language(
    tmp_path: Path, scene: Scene
) -> None:
    assert faults_of(tmp_path, scene, "es", "sun", "2.0") == []


def faults_of(folder: Path, scene: Scene, language: str, theme: str, scale: str) -> list[str]:
    """Each theme is worn by every screen in one of the runs, so that every label meets all three."""
    Window.size = (360, 740)
    stage = Stage(folder).joined(language)
    stage.wear(theme, scale)
    with stage:
        scene(stage)
        stage.hand.settle()
        assert stage.app is not None
        return faults(stage.app.manager.current_screen)


def test_every_pair_of_colours_in_every_theme_has_seven_to_one() -> None:
    for theme in THEMES.values():
        on_paper = [theme.ink, theme.ghost, theme.wrong]
        on_ink = [theme.paper, theme.ghost_on_ink, theme.wrong_on_ink]
        assert all(contrast(rgb(one), rgb(theme.paper)) >= LEAST_CONTRAST for one in on_paper), theme.name
        assert all(contrast(rgb(one), rgb(theme.ink)) >= LEAST_CONTRAST for one in on_ink), theme.name
