"""One more check: a refusal of a request that keeps its schema is about what no schema can say."""

import schemathesis

# faults between fields, or of a value derived from several
BEYOND_THE_SCHEMA = {"required", "contradictory", "inconsistent", "out_of_range"}


@schemathesis.check
def refusal_beyond_the_schema(_context, response, case):
    generated = case.meta.generation.mode if case.meta else None
    if generated is None or not generated.is_positive or response.status_code != 422:
        return
    problem = response.json()
    faults = {fault["code"] for fault in problem.get("errors", [])}
    if problem["code"] == "validation_failed" and not faults <= BEYOND_THE_SCHEMA:
        raise AssertionError(f"the schema allows what the service refuses as {sorted(faults)}")
