// Opens HTML files in headless Chromium: no sideways scroll and no letters too small at three widths, no console error, no request, a search that finds
// and hides by keyboard alone, no serious finding of axe-core, and a printed PDF. Arguments: the browser, then files.
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { resolve } from "node:path";
import puppeteer from "puppeteer-core";

const [browserPath, ...files] = process.argv.slice(2);
const fullPages = Boolean(process.env.FULL_PAGES);
// No letter of a page is smaller on the screen, but those that the caution of a label is printed in.
const LEAST_PX = 6.5;
const smallest = () => Math.min(...[...document.querySelectorAll("p, li, td, th, h1, h2, h3, h4, figcaption, figure text")]
  .filter((element) => element.getClientRects().length && element.textContent.trim())
  .map((element) => {
    const drawing = element.ownerSVGElement;
    const times = drawing ? drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width : 1;
    return parseFloat(getComputedStyle(element).fontSize) * times;
  }));
const axe = readFileSync("node_modules/axe-core/axe.min.js", "utf8");
const browser = await puppeteer.launch({ executablePath: browserPath, args: ["--no-sandbox", "--disable-gpu"] });
let failed = 0;
const fail = (file, words) => { failed = 1; console.log(`FAIL  ${file}: ${words}`); };

for (const file of files) {
  const page = await browser.newPage();
  await page.setBypassCSP(true); // axe-core is put in from outside; the page's own policy allows no such thing
  const own = pathToFileURL(resolve(file)).href;
  const requests = [], errors = [];
  page.on("request", (r) => { if (r.url() !== own && !r.url().startsWith("data:")) requests.push(r.url()); });
  page.on("console", (m) => { if (m.type() === "error" || m.type() === "warning") errors.push(m.text()); });
  page.on("pageerror", (e) => errors.push(String(e)));
  page.on("dialog", (d) => { errors.push("dialog"); d.dismiss(); });
  const lesser = new Set();
  let passed = 0, serious = 0;
  for (const width of [400, 820, 1200]) {
    await page.setViewport({ width, height: 900 });
    await page.goto(own);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    if (wide > width) fail(file, `${wide} px wide in a window of ${width}`);
    const small = await page.evaluate(smallest);
    if (small < LEAST_PX) fail(file, `letters of ${small.toFixed(1)} px in a window of ${width}`);
    await page.screenshot({ path: `${file}-${width}.png`, fullPage: fullPages });
    await page.evaluate(axe);
    const found = await page.evaluate(() => axe.run(document));
    passed = Math.max(passed, found.passes.length);
    for (const violation of found.violations) {
      if (["serious", "critical"].includes(violation.impact)) {
        serious += 1;
        fail(file, `axe at ${width} px: ${violation.id}, ${violation.nodes.length} places, ${violation.nodes[0].html.slice(0, 120)}`);
      } else {
        lesser.add(`${violation.id} (${violation.impact})`);
      }
    }
  }
  const title = await page.title();
  if (title === "broken") fail(file, "a script of the book ran");
  if (await page.$("#words")) {
    await page.keyboard.press("Tab");
    for (let step = 0; step < 3 && !(await page.evaluate(() => document.activeElement.id === "words")); step += 1) await page.keyboard.press("Tab");
    const count = () => page.$$eval(".find:not([hidden])", (all) => all.length);
    const all = await count();
    await page.keyboard.type("o-ring");
    const some = await count();
    await page.keyboard.type(" zzzz");
    const none = await count();
    if (!(all > some && some > 0 && none === 0)) fail(file, `search: ${all} places, ${some} with o-ring, ${none} with zzzz`);
    for (let letter = 0; letter < 12; letter += 1) await page.keyboard.press("Backspace");
    if ((await count()) !== all) fail(file, "search does not give everything back");
    console.log(`pages: ${file}: search by keyboard ${all} -> ${some} -> ${none} -> ${await count()}`);
  }
  writeFileSync(`${file}.pdf`, await page.pdf({ preferCSSPageSize: true }));
  if (requests.length) fail(file, `requests: ${requests.join(" ")}`);
  if (errors.length) fail(file, `console: ${errors.join(" | ")}`);
  console.log(`pages: ${file}: ${passed} rules of axe-core passed, ${serious} serious, lesser: ${[...lesser].join(", ") || "none"}; ${requests.length} requests, ${errors.length} console errors`);
  await page.close();
}
await browser.close();
process.exit(failed);
