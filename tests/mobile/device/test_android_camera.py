"""Android's camera against stand-ins; nothing here ran on a phone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from mobile.device.android_camera import ASKED, TAKEN, AndroidCamera, fitting


@pytest.mark.parametrize(
    ("width", "height", "share"),
    [(4_096, 3_072, 0.5), (3_072, 4_096, 0.5), (2_048, 1_536, 1.0), (2_049, 10, 2_048 / 2_049), (0, 0, 1.0)],
)
def test_a_picture_shrinks_to_2048_px_at_its_longer_side_and_never_grows(
    width: int, height: int, share: float
) -> None:
    assert fitting(width, height) == share


class StandIns:
    """As much of Android as the camera touches."""

    def __init__(self, orientation: int = 6, readable: bool = True) -> None:
        self.orientation = orientation
        self.readable = readable
        self.listeners: list[Callable[..., None]] = []
        self.deleted: list[str] = []
        self.turned: list[tuple[str, float]] = []
        self.written: list[str] = []
        self.sent: dict[str, Any] = {}

    def java(self, name: str) -> Any:
        bitmap = SimpleNamespace(getWidth=lambda: 4_096, getHeight=lambda: 3_072, compress=self._compress)
        classes = {
            "android.provider.MediaStore$Images$Media": SimpleNamespace(EXTERNAL_CONTENT_URI="images"),
            "android.provider.MediaStore": SimpleNamespace(
                ACTION_IMAGE_CAPTURE="capture", EXTRA_OUTPUT="out"
            ),
            "android.content.ContentValues": object,
            "android.content.Intent": lambda action: SimpleNamespace(putExtra=self.sent.__setitem__),
            "android.graphics.BitmapFactory": SimpleNamespace(
                decodeStream=lambda stream: bitmap if self.readable else None
            ),
            "android.graphics.Bitmap$CompressFormat": SimpleNamespace(JPEG="jpeg"),
            "android.graphics.Bitmap": SimpleNamespace(createBitmap=lambda *how: bitmap),
            "android.graphics.Matrix": lambda: SimpleNamespace(
                postScale=lambda share, same: self.turned.append(("scale", share)),
                postRotate=lambda degrees: self.turned.append(("turn", degrees)),
            ),
            "android.media.ExifInterface": lambda stream: SimpleNamespace(
                getAttributeInt=lambda name, otherwise: self.orientation
            ),
            "java.io.FileOutputStream": lambda name: SimpleNamespace(
                name=name, close=lambda: self.written.append(name)
            ),
        }
        return classes[name]

    def _compress(self, kind: str, quality: int, out: Any) -> None:
        Path(out.name).write_bytes(b"\xff\xd8\xff")

    def camera(self) -> AndroidCamera:
        resolver = SimpleNamespace(
            insert=lambda where, values: "content://images/7",
            openInputStream=lambda uri: SimpleNamespace(close=lambda: None),
            delete=lambda uri, *more: self.deleted.append(uri),
        )
        activity = SimpleNamespace(
            getContentResolver=lambda: resolver, startActivityForResult=lambda intent, request: None
        )
        results = SimpleNamespace(
            bind=lambda on_activity_result: self.listeners.append(on_activity_result),
            unbind=lambda on_activity_result: self.listeners.remove(on_activity_result),
        )
        return AndroidCamera(self.java, activity, results)


def test_a_picture_is_turned_upright_shrunk_kept_privately_and_taken_out_of_the_media_store(
    tmp_path: Path,
) -> None:
    android, got = StandIns(), []
    android.camera().take(tmp_path / "taken.jpg", got.append)
    assert android.sent == {"out": "content://images/7"}
    android.listeners[0](99, TAKEN, None)
    assert got == []
    android.listeners[0](ASKED, TAKEN, None)
    assert got == [tmp_path / "taken.jpg"]
    assert (tmp_path / "taken.jpg").read_bytes().startswith(b"\xff\xd8\xff")
    assert android.turned == [("scale", 0.5), ("turn", 90.0)]
    assert android.deleted == ["content://images/7"]
    assert android.listeners == []


@pytest.mark.parametrize(("readable", "result"), [(True, 0), (False, TAKEN)])
def test_a_picture_given_up_or_unreadable_is_none_and_leaves_nothing_behind(
    tmp_path: Path, readable: bool, result: int
) -> None:
    android, got = StandIns(readable=readable), []
    android.camera().take(tmp_path / "taken.jpg", got.append)
    android.listeners[0](ASKED, result, None)
    assert got == [None]
    assert android.deleted == ["content://images/7"]
    assert not (tmp_path / "taken.jpg").exists()
