from django.apps import AppConfig


class KeepingConfig(AppConfig):
    name = "server.keeping"
    label = "keeping"
    default_auto_field = "django.db.models.BigAutoField"
