from django.apps import AppConfig


class Web(AppConfig):
    name = "server.web"
    label = "web"
