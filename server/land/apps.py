from django.apps import AppConfig


class LandConfig(AppConfig):
    name = "server.land"
    label = "land"
    default_auto_field = "django.db.models.BigAutoField"
