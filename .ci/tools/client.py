"""A caller in Python: the client generated from the document talks to the running service."""

import sys

from extraction_maths_client import Client
from extraction_maths_client.api.recipe import compute_ratio
from extraction_maths_client.models import Problem, ProblemCode, RatioAnswer, RatioRequest


def ask(client: Client, request: RatioRequest):
    return compute_ratio.sync_detailed(client=client, body=request)


def main(base: str) -> None:
    client = Client(base_url=base, raise_on_unexpected_status=True)
    good = ask(client, RatioRequest(dose_g=18.0, brew_ratio=2.0))
    assert isinstance(good.parsed, RatioAnswer), good
    assert good.parsed.beverage_mass_g == 36.0
    assert good.parsed.sources

    bad = ask(client, RatioRequest(dose_g=-1.0))
    assert bad.status_code == 422, bad
    assert isinstance(bad.parsed, Problem)
    assert bad.parsed.code == ProblemCode.VALIDATION_FAILED
    assert bad.parsed.errors[0].pointer == "/dose_g"

    # a class of its own fields only: an unknown field cannot even be written
    assert not hasattr(RatioRequest(), "additional_properties")
    empty = ask(client, RatioRequest())
    assert empty.status_code == 422 and empty.parsed.errors[0].code == "required", empty


if __name__ == "__main__":
    main(sys.argv[1])
