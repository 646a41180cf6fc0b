// A real browser: the recipe's page from an origin of its own, and the service's own pages.
//
// browser.mjs CHROMIUM SERVICE CLOSED_SERVICE PAGE
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { chromium } from "playwright-core";

const [program, service, closed, file] = process.argv.slice(2);
const browser = await chromium.launch({ executablePath: program, args: ["--no-sandbox"] });
const html = readFileSync(file);
const shop = createServer((_, response) => response.setHeader("content-type", "text/html").end(html));
await new Promise((ready) => shop.listen(0, "127.0.0.1", ready));

async function recipe() {
  const page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${shop.address().port}/`);
  const asked = async (base, dose) => {
    await page.fill("[name=base]", base);
    await page.fill("[name=dose_g]", dose);
    await page.evaluate(() => { document.querySelector("[role=status]").textContent = ""; });
    await page.click("button");
    return page.waitForFunction(() => document.querySelector("[role=status]").textContent)
      .then((text) => text.jsonValue());
  };
  // twice the dose in the cup, and as much again held by the grounds
  assert.equal(await asked(service, "18"), "36 g of beverage, 54 g of water");
  assert.match(await asked(service, "-1"), /dose_g: -1 g is outside/);
  assert.match(await asked(closed, "18"), /could not be reached/);
  await page.close();
}

// Every page that explains a calculation, on a phone: it fits, loads nothing from elsewhere, logs
// nothing, and its form gets an answer.
async function pages() {
  const { calculations } = await (await fetch(`${service}/v1`)).json();
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (message) => wrong.push(`${page.url()} logs: ${message.text()}`));
  page.on("pageerror", (error) => wrong.push(`${page.url()} fails: ${error.message}`));
  page.on("request", (request) => {
    if (!request.url().startsWith(service)) wrong.push(`${page.url()} loads ${request.url()}`);
  });
  for (const path of ["/docs/calculations", ...calculations.map(({ page }) => page)]) {
    await page.goto(service + path);
    const button = page.locator("form[data-try] button");
    if (path !== "/docs/calculations") {
      await button.click();
      await page.waitForFunction(() => document.querySelector("[data-answer] pre"), null, { timeout: 30000 })
        .catch(() => wrong.push(`${path} shows no answer`));
    }
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (over > 0) wrong.push(`${path} is ${over} px too wide`);
  }
  assert.deepEqual(wrong, []);
  return calculations.length;
}

try {
  await recipe();
  console.log(`browser: the page of another origin, and ${await pages()} pages of the service`);
} finally {
  shop.close();
  await browser.close();
}
