from django.apps import AppConfig


class StatusConfig(AppConfig):
    name = "server.status"
    label = "status"
    default_auto_field = "django.db.models.BigAutoField"
