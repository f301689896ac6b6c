"""Commands around the build: before the visit, after the release. Each module imports what is heavy when it runs."""

from pipeline.commands import mail, visit, watch
from pipeline.commands.command import Command

ADDED: dict[str, Command] = {"sitesheet": visit.COMMAND, "mail": mail.MAIL, "send": mail.SEND, "watch": watch.COMMAND}
