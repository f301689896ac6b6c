"""Names that documents take from the rules: a rule renamed there would leave a blank here."""

from pipeline.documents.rows.findings import BUILDING_RULE, LOOP_RULE, OPERATOR_RULE
from pipeline.rules.base import RULES


def test_the_rules_that_documents_quote_are_in_the_list_of_rules():
    import pipeline.rules  # noqa: F401 - enters the rules

    assert {LOOP_RULE, OPERATOR_RULE, BUILDING_RULE} <= RULES.keys()
