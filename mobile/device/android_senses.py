"""Android's battery, light sensor, voice and links. Nothing in this file has run on a phone yet: it is written from
the sources of plyer 2.1.0, pyjnius and python-for-android, and tested against stand-ins.

Worked round: plyer's voice is bound to one language and holds up the thread that asks it; Android's own is called here.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import Thread
from time import sleep
from typing import Any

from mobile.senses import Charge

TRIES, TRY_S = 30, 0.1
"""So long the voice may take to wake up when it is first asked."""
DONE = 0
GONE = (NotImplementedError, ModuleNotFoundError, ImportError, AttributeError)


class PlyerBattery:
    def __init__(self, battery: Any) -> None:
        self.battery = battery

    def charge(self) -> Charge | None:
        try:
            told = self.battery.status
        except GONE:
            return None
        percent = told.get("percentage")
        return None if percent is None else Charge(round(percent), bool(told.get("isCharging")))


class PlyerLight:
    def __init__(self, light: Any) -> None:
        self.light = light
        self._works = True

    def start(self) -> None:
        try:
            self.light.enable()
        except GONE:
            self._works = False

    def stop(self) -> None:
        if self._works:
            self.light.disable()

    def lux(self) -> float | None:
        if not self._works:
            return None
        told = self.light.illumination
        return None if told is None else float(told)


class AndroidVoice:
    """``java`` gives a Java class by its name, ``activity`` is the app's, ``beside`` runs a call on a thread of its
    own."""

    def __init__(
        self,
        java: Callable[[str], Any],
        activity: Any,
        beside: Callable[[Callable[[], None]], None] | None = None,
    ) -> None:
        self._java = java
        self._activity = activity
        self._beside = beside or _on_thread
        self._engine: Any = None

    def speak(self, text: str, language: str) -> bool:
        self._beside(lambda: self._speak(text, language))
        return True

    def _speak(self, text: str, language: str) -> None:
        """A voice that is just being woken refuses: it is asked again for three seconds."""
        speech = self._java("android.speech.tts.TextToSpeech")
        if self._engine is None:
            self._engine = speech(self._activity, None)
        locale = self._java("java.util.Locale").forLanguageTag(language)
        for _ in range(TRIES):
            self._engine.setLanguage(locale)
            if self._engine.speak(text, speech.QUEUE_FLUSH, None, "goodground") == DONE:
                return
            sleep(TRY_S)


def _on_thread(call: Callable[[], None]) -> None:
    """Java wants a thread that used it to say so when it ends."""

    def run() -> None:
        from jnius import detach

        try:
            call()
        finally:
            detach()

    Thread(target=run, name="voice", daemon=True).start()


class AndroidLinks:
    """The links of joining slips that the phone's camera read. ``results`` calls back (``android.activity.bind``)."""

    def __init__(self, java: Callable[[str], Any], activity: Any, results: Any) -> None:
        self._view = java("android.content.Intent").ACTION_VIEW
        self._activity = activity
        self._results = results

    def listen(self, heard: Callable[[str], None]) -> None:
        def opened(intent: Any) -> None:
            link = intent.getDataString() if intent is not None and intent.getAction() == self._view else None
            if link:
                # Read once: else a phone that is turned, or wakes, would open it again.
                intent.setData(None)
                heard(str(link))

        self._results.bind(on_new_intent=opened)
        opened(self._activity.getIntent())
