"""What schemathesis cannot know of the service: what it may refuse, and a method without a word."""

import schemathesis

# faults between fields, or of a value derived from several
BEYOND_THE_SCHEMA = {"required", "contradictory", "inconsistent", "out_of_range"}
# methods that the document does not list: implied ones, and one it has no word for
UNLISTED = {"HEAD", "OPTIONS", "QUERY"}
ROWS = {"text/csv", "application/x-ndjson"}


@schemathesis.hook
def before_load_schema(_context, raw_schema):
    """Rows are texts that no schema describes, so generated ones say nothing of the document."""
    for operations in raw_schema["paths"].values():
        content = operations.get("post", {}).get("requestBody", {}).get("content", {})
        for media_type in ROWS & content.keys():
            del content[media_type]


@schemathesis.hook
def filter_query(context, query):
    """A value left empty is none, as forms send it; a schema has no word for that."""
    needed = {parameter.name for parameter in context.operation.query if parameter.is_required}
    return not isinstance(query, dict) or all(
        value != "" or name in needed for name, value in query.items()
    )


@schemathesis.check
def refusal_beyond_the_schema(_context, response, case):
    """A refusal of a request that keeps its schema is about what no schema can say."""
    generated = case.meta.generation.mode if case.meta else None
    if generated is None or not generated.is_positive or response.status_code != 422:
        return
    problem = response.json()
    # `select` names an output by its path, lists and all
    faults = {fault["code"] for fault in problem.get("errors", []) if fault["pointer"] != "/select"}
    if problem["code"] == "validation_failed" and not faults <= BEYOND_THE_SCHEMA:
        raise AssertionError(f"the schema allows what the service refuses as {sorted(faults)}")


@schemathesis.check
def allow_names_the_documented_methods(_context, response, case):
    """`Allow` lists what the document lists, besides what it cannot or need not list."""
    allow = response.headers.get("allow")
    if allow is None or response.status_code != 405:
        return
    allowed = {method.strip().upper() for method in allow[0].split(",")} - UNLISTED
    operations = case.operation.schema.raw_schema["paths"][case.operation.path]
    documented = {name.upper() for name in operations} & {"GET", "POST", "PUT", "PATCH", "DELETE"}
    if allowed != documented:
        raise AssertionError(f"Allow names {sorted(allowed)}, the document {sorted(documented)}")
