from django.apps import AppConfig


class Ahead(AppConfig):
    name = "server.ahead"
    label = "ahead"
    default_auto_field = "django.db.models.BigAutoField"
