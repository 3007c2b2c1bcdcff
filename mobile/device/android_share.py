"""Android's own page for sharing and printing. Nothing in this file has run on a phone yet.

Another app may not read this one's private storage: the file is written into the phone's downloads, which takes no
leave from Android 10 on, and its ``content://`` address is handed over.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any


class AndroidSharing:
    """``java`` gives a Java class by its name, ``activity`` is the app's."""

    def __init__(self, java: Callable[[str], Any], activity: Any) -> None:
        self._java = java
        self._activity = activity

    def share(self, file: Path, kind: str) -> bool:
        resolver = self._activity.getContentResolver()
        values = self._java("android.content.ContentValues")()
        values.put("_display_name", file.name)
        values.put("mime_type", kind)
        downloads = self._java("android.provider.MediaStore$Downloads").EXTERNAL_CONTENT_URI
        uri = resolver.insert(downloads, values)
        if uri is None:
            return False
        out = resolver.openOutputStream(uri)
        out.write(file.read_bytes())
        out.close()
        intents = self._java("android.content.Intent")
        intent = intents(intents.ACTION_SEND)
        intent.setType(kind)
        intent.putExtra(intents.EXTRA_STREAM, uri)
        intent.addFlags(intents.FLAG_GRANT_READ_URI_PERMISSION)
        self._activity.startActivity(intents.createChooser(intent, file.name))
        return True
