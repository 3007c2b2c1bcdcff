"""Android's camera by its own app, and the picture made small enough. Nothing in this file has run on a phone yet.

The camera app is handed a ``content://`` address of the media store, as Android 7 and later want; the picture is read
back, turned upright, shrunk, written into the app's private storage, and taken out of the media store again.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

LONGEST_PX = 2_048
QUALITY = 85
ASKED = 0x6006
TAKEN = -1
TURNED_DEG = {3: 180.0, 6: 90.0, 8: 270.0}
"""What EXIF's orientation says of how the phone was held."""


class AndroidCamera:
    """``java`` gives a Java class by its name, ``activity`` is the app's, ``results`` calls back with what other
    apps answer (``android.activity.bind``)."""

    def __init__(self, java: Callable[[str], Any], activity: Any, results: Any) -> None:
        self._java = java
        self._activity = activity
        self._results = results

    def take(self, to: Path, done: Callable[[Path | None], None]) -> None:
        resolver = self._activity.getContentResolver()
        images = self._java("android.provider.MediaStore$Images$Media").EXTERNAL_CONTENT_URI
        uri = resolver.insert(images, self._java("android.content.ContentValues")())
        if uri is None:
            done(None)
            return

        def answered(request: int, result: int, intent: Any) -> None:
            if request != ASKED:
                return
            self._results.unbind(on_activity_result=answered)
            try:
                done(self._fetched(resolver, uri, to) if result == TAKEN else None)
            finally:
                resolver.delete(uri, None, None)

        self._results.bind(on_activity_result=answered)
        store = self._java("android.provider.MediaStore")
        intent = self._java("android.content.Intent")(store.ACTION_IMAGE_CAPTURE)
        intent.putExtra(store.EXTRA_OUTPUT, uri)
        self._activity.startActivityForResult(intent, ASKED)

    def _fetched(self, resolver: Any, uri: Any, to: Path) -> Path | None:
        factory = self._java("android.graphics.BitmapFactory")
        stream = resolver.openInputStream(uri)
        picture = factory.decodeStream(stream)
        stream.close()
        if picture is None:
            return None
        picture = self._upright(picture, self._turned_deg(resolver, uri))
        out = self._java("java.io.FileOutputStream")(str(to))
        picture.compress(self._java("android.graphics.Bitmap$CompressFormat").JPEG, QUALITY, out)
        out.close()
        return to

    def _turned_deg(self, resolver: Any, uri: Any) -> float:
        stream = resolver.openInputStream(uri)
        facts = self._java("android.media.ExifInterface")(stream)
        turned = TURNED_DEG.get(facts.getAttributeInt("Orientation", 1), 0.0)
        stream.close()
        return turned

    def _upright(self, picture: Any, turned_deg: float) -> Any:
        width, height = picture.getWidth(), picture.getHeight()
        share = fitting(width, height)
        if share == 1.0 and not turned_deg:
            return picture
        matrix = self._java("android.graphics.Matrix")()
        matrix.postScale(share, share)
        matrix.postRotate(turned_deg)
        bitmap = self._java("android.graphics.Bitmap")
        return bitmap.createBitmap(picture, 0, 0, width, height, matrix, True)


def fitting(width: int, height: int, longest_px: int = LONGEST_PX) -> float:
    """By how much a picture must shrink so that its longer side fits; 1 where it does already."""
    return min(1.0, longest_px / max(width, height, 1))
