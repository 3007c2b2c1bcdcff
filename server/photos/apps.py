from django.apps import AppConfig


class PhotosConfig(AppConfig):
    name = "server.photos"
    label = "photos"
    default_auto_field = "django.db.models.BigAutoField"
