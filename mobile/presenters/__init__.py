"""One presenter a screen, no Kivy: core values in, ready strings out, taps become actions."""
