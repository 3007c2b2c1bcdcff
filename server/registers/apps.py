from django.apps import AppConfig


class Registers(AppConfig):
    name = "server.registers"
    label = "registers"
