"""Android's parts put together, from plyer, pyjnius and python-for-android. Only there, and not tried there yet."""

from __future__ import annotations

from dataclasses import dataclass

from mobile.device.android import AndroidConnectivity, PlyerBuzz, PlyerGps, ask_for_location, mended_gps
from mobile.device.android_camera import AndroidCamera
from mobile.device.android_senses import AndroidLinks, AndroidVoice, PlyerBattery, PlyerLight
from mobile.device.android_share import AndroidSharing
from mobile.ports import Clock
from mobile.senses import Senses


@dataclass(frozen=True, slots=True)
class AndroidParts:
    receiver: PlyerGps
    camera: AndroidCamera
    connectivity: AndroidConnectivity
    haptics: PlyerBuzz
    sharing: AndroidSharing
    senses: Senses


def android_parts(clock: Clock) -> AndroidParts:
    from android import activity as results
    from jnius import autoclass
    from plyer import battery, light, vibrator

    activity = autoclass("org.kivy.android.PythonActivity").mActivity
    manager = activity.getSystemService(autoclass("android.content.Context").CONNECTIVITY_SERVICE)
    return AndroidParts(
        receiver=PlyerGps(mended_gps(), clock, ask_for_location),
        camera=AndroidCamera(autoclass, activity, results),
        connectivity=AndroidConnectivity(manager),
        haptics=PlyerBuzz(vibrator),
        sharing=AndroidSharing(autoclass, activity),
        senses=Senses(
            PlyerBattery(battery),
            PlyerLight(light),
            AndroidVoice(autoclass, activity),
            AndroidLinks(autoclass, activity, results),
        ),
    )
