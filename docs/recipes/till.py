"""The server side of a till's plugin: recipes by GET, kept as long as the service says.

    EXTRACTION_MATHS_KEY=... python till.py http://127.0.0.1:8080 flat_white

Call from the server, not from the browser: a key in a page is public, and a price in an address
stands in every log and cache on the way.
"""

import os
import sys
import time

import httpx

TRIES = 3
# a cashier waits no longer than this for all tries together
PATIENCE_S = 8.0


class Failure(Exception):
    """What to show a cashier; `reference` finds the request in the service's log."""

    def __init__(self, message, code, reference=None):
        super().__init__(message)
        self.code, self.reference = code, reference


class Recipes:
    """Answers to GET, each kept with its tag."""

    def __init__(self, base, key=None, transport=None):
        headers = {"authorization": f"Bearer {key}"} if key else {}
        timeout = httpx.Timeout(2.0, connect=1.0)
        self.service = httpx.Client(base_url=base, headers=headers, timeout=timeout, transport=transport)
        self.kept = {}

    def recipe(self, **order):
        return self.get("/v1/recipes", order)

    def get(self, path, fields):
        # sorted, so that one order has one address
        address = str(httpx.URL(path, params=sorted(fields.items())))
        fresh_until, tag, answer = self.kept.get(address, (0.0, None, None))
        if time.monotonic() < fresh_until:
            return answer
        try:
            response = self.fetch(address, tag)
        except Failure as failure:
            # an answer of yesterday is right today: none depends on the clock
            if answer is not None and failure.code in ("unreachable", "overloaded", "quota_exceeded"):
                return answer
            raise
        if response.status_code != 304:
            answer = response.json()
        keep = time.monotonic() + max_age(response)
        self.kept[address] = (keep, response.headers.get("etag", tag), answer)
        return answer

    def fetch(self, address, tag):
        """200 or 304; waits as long as the service asks, and not for ever."""
        headers = {"if-none-match": tag} if tag else {}
        end, failure = time.monotonic() + PATIENCE_S, None
        for attempt in range(TRIES):
            wait = 0.2 * 2**attempt
            try:
                response = self.service.get(address, headers=headers)
            except httpx.TransportError:
                failure = Failure("The recipe service cannot be reached. Use the card on the wall.", "unreachable")
            else:
                if response.status_code in (200, 304):
                    return response
                failure = told(response)
                if response.status_code not in (429, 503):
                    raise failure
                wait = float(response.headers.get("retry-after", wait))
            if attempt + 1 == TRIES or time.monotonic() + wait > end:
                break
            time.sleep(wait)
        raise failure


def max_age(response):
    parts = response.headers.get("cache-control", "").replace(" ", "").split(",")
    ages = [part.removeprefix("max-age=") for part in parts if part.startswith("max-age=")]
    return float(ages[0]) if ages else 0.0


def told(response):
    """A problem document as one sentence; `code` is stable, so a shop can have its own words."""
    try:
        problem = response.json()
    except ValueError:
        return Failure(f"The recipe service answered {response.status_code}.", "unknown")
    first = next(iter(problem.get("errors", [])), None)
    field = first["pointer"].removeprefix("/") if first else ""
    message = f"{field}: {first['detail']}" if first else problem["title"]
    return Failure(message, problem["code"], problem.get("request_id"))


def main():
    base, drink = sys.argv[1:3]
    recipes = Recipes(base, os.environ.get("EXTRACTION_MATHS_KEY"))
    try:
        recipe = recipes.recipe(drink=drink, servings=1, basket_diameter_mm=58, dose_g=18, cup_ml=180)
    except Failure as failure:
        raise SystemExit(f"{failure} (reference {failure.reference})")
    print(f"{drink}: {recipe['dose_g']:.1f} g in, {recipe['beverage_mass_g']:.1f} g out")
    for miss in recipe["not_met"]:
        print("not met:", miss["detail"])


if __name__ == "__main__":
    main()
