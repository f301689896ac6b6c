"""A question that a person has answered: who, in which role, why and when, bound to the figures by its key."""

from dataclasses import asdict, dataclass
from datetime import date

from pipeline.facts.findings import Finding
from pipeline.facts.record import Json


@dataclass(frozen=True, slots=True)
class Acceptance:
    """One answer that counts; `finding` keeps its verdict, `key` is that of the question."""

    finding: Finding
    key: str
    person: str
    name: str
    role: str
    reason: str
    day: date

    def as_json(self) -> Json:
        """The answer as the record keeps it: which finding, who, why, when."""
        plain = {name: value for name, value in asdict(self).items() if name != "finding"}
        of_finding = {"rule": self.finding.rule, "subject": self.finding.subject, "message": self.finding.message}
        return {**of_finding, **plain, "day": self.day.isoformat()}
