"""Battery, light, voice and links on Android, against stand-ins for plyer and Java."""

from __future__ import annotations

from typing import Any

import pytest

from mobile.device.android_senses import TRIES, AndroidLinks, AndroidVoice, PlyerBattery, PlyerLight
from mobile.senses import Charge


class Missing:
    """plyer's facade where the phone has no such part."""

    @property
    def status(self) -> Any:
        raise NotImplementedError

    @property
    def illumination(self) -> Any:
        raise NotImplementedError

    def enable(self) -> None:
        raise NotImplementedError

    def disable(self) -> None:
        raise NotImplementedError


class Facade:
    def __init__(self, **told: Any) -> None:
        self.__dict__.update(told)
        self.enabled = False

    def enable(self) -> None:
        self.enabled = True

    def disable(self) -> None:
        self.enabled = False


def test_the_battery_tells_whole_percent_and_whether_it_is_charged() -> None:
    told = {"percentage": 14.4, "isCharging": False}
    assert PlyerBattery(Facade(status=told)).charge() == Charge(14, False)


@pytest.mark.parametrize("facade", [Missing(), Facade(status={"percentage": None, "isCharging": None})])
def test_a_phone_that_does_not_say_has_no_charge(facade: Any) -> None:
    assert PlyerBattery(facade).charge() is None


def test_light_is_measured_between_start_and_stop_and_none_without_a_sensor() -> None:
    sensor = Facade(illumination=None)
    light = PlyerLight(sensor)
    light.start()
    assert sensor.enabled
    assert light.lux() is None, "nothing was measured yet"
    sensor.illumination = 12_000
    assert light.lux() == 12_000.0
    light.stop()
    assert not sensor.enabled
    without = PlyerLight(Missing())
    without.start()
    without.stop()
    assert without.lux() is None


class Speech:
    """TextToSpeech: refuses until it is awake."""

    QUEUE_FLUSH = 0

    def __init__(self, refuses: int) -> None:
        self.refuses = refuses
        self.made = 0
        self.locale = ""
        self.spoken: list[tuple[str, str]] = []

    def __call__(self, activity: str, listener: None) -> Speech:
        self.made += 1
        return self

    def setLanguage(self, locale: str) -> None:
        self.locale = locale

    def speak(self, text: str, queue: int, bundle: None, id: str) -> int:
        if self.refuses:
            self.refuses -= 1
            return -1
        self.spoken.append((text, self.locale))
        return 0


class Locale:
    @staticmethod
    def forLanguageTag(tag: str) -> str:
        return f"locale {tag}"


@pytest.fixture
def no_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("mobile.device.android_senses.sleep", lambda seconds: None)


def voice(speech: Speech) -> AndroidVoice:
    java = {"android.speech.tts.TextToSpeech": speech, "java.util.Locale": Locale}
    return AndroidVoice(java.__getitem__, "activity", lambda call: call())


@pytest.mark.usefixtures("no_waiting")
def test_the_voice_speaks_the_persons_language_and_is_waited_for_while_it_wakes() -> None:
    speech = Speech(refuses=3)
    one = voice(speech)
    assert one.speak("Siegue, 3 días tarde", "es")
    assert one.speak("Mow", "en")
    assert speech.spoken == [("Siegue, 3 días tarde", "locale es"), ("Mow", "locale en")]
    assert speech.made == 1


@pytest.mark.usefixtures("no_waiting")
def test_a_voice_that_never_wakes_is_given_up() -> None:
    speech = Speech(refuses=TRIES)
    voice(speech).speak("Mow", "en")
    assert speech.spoken == []
    assert speech.refuses == 0


class Intent:
    ACTION_VIEW = "view"

    def __init__(self, action: str, data: str | None) -> None:
        self.action = action
        self.data = data

    def getAction(self) -> str:
        return self.action

    def getDataString(self) -> str | None:
        return self.data

    def setData(self, data: None) -> None:
        self.data = data


class Activity:
    def __init__(self, intent: Intent) -> None:
        self.intent = intent
        self.bound: dict[str, Any] = {}

    def getIntent(self) -> Intent:
        return self.intent

    def bind(self, **calls: Any) -> None:
        self.bound |= calls


def test_a_link_is_heard_once_whether_it_starts_the_app_or_comes_to_it() -> None:
    heard: list[str] = []
    app = Activity(Intent("view", "goodground://farm.example/#join=7K2MPQX4RD"))
    AndroidLinks(lambda name: Intent, app, app).listen(heard.append)
    app.bound["on_new_intent"](app.intent)
    app.bound["on_new_intent"](Intent("view", "goodground://other.example/#join=8K2MPQX4RD"))
    assert heard == [
        "goodground://farm.example/#join=7K2MPQX4RD",
        "goodground://other.example/#join=8K2MPQX4RD",
    ]


def test_an_app_that_was_opened_by_its_mark_hears_no_link() -> None:
    heard: list[str] = []
    app = Activity(Intent("main", None))
    AndroidLinks(lambda name: Intent, app, app).listen(heard.append)
    assert heard == []
