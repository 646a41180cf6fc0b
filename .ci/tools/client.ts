// A caller in TypeScript, typed by the document alone.
import assert from "node:assert/strict";
import createClient from "openapi-fetch";
import type { components, paths } from "./types.js";

const base = process.argv[2];
assert(base, "usage: client.js BASE");
// JSON of the media types that an answer has
const service = createClient<paths, "application/json" | "application/problem+json">({ baseUrl: base });

const request: components["schemas"]["RatioRequest"] = { dose_g: 18, brew_ratio: 2 };
const good = await service.POST("/v1/ratio", { body: request });
assert(good.data, "an answer");
const beverage: number = good.data.beverage_mass_g;
const sources: string[] = good.data.sources;
assert.equal(beverage, 36);
assert(sources.length > 0);

const bad = await service.POST("/v1/ratio", { body: { dose_g: -1 } });
assert.equal(bad.response.status, 422);
assert(bad.error, "a problem");
const problem: components["schemas"]["Problem"] = bad.error;
assert.equal(problem.code, "validation_failed");
assert.equal(problem.errors?.[0]?.pointer, "/dose_g");

// @ts-expect-error a field that the document does not know must not compile
const unknown: components["schemas"]["RatioRequest"] = { dose_kg: 1 };
const refused = await service.POST("/v1/ratio", { body: unknown });
assert.equal(refused.response.status, 422);
