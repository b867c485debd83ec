// Checks, in a browser, of the pages that the program writes: nothing of the network,
// no script, no sideways scrolling, contrast, names of pictures, one printed sheet
// that holds the answer, and valid HTML.
//
//   node check.mjs PROGRAM [FOLDER]    keeps pages, prints and pictures in FOLDER
//   ONLY=size,choose node check.mjs …  looks at these pages alone
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import { chromium } from "playwright-core";
import { pages } from "./pages.mjs";

const program = resolve(process.argv[2] ?? "sumpward");
const keep = Boolean(process.argv[3]);
const folder = keep ? resolve(process.argv[3]) : mkdtempSync(join(tmpdir(), "page-"));
mkdirSync(folder, { recursive: true });
const root = resolve(dirname(fileURLToPath(import.meta.url)), "../..");

const widths = [360, 768, 1280];
const leastContrast = 4.5; // WCAG 2.2, 1.4.3, text of common size
let failures = 0;
let checks = 0;

function expect(holds, what) {
  checks++;
  if (!holds) {
    failures++;
    console.error(`FAILED: ${what}`);
  }
}

// plain is a text without what a line break may change.
const plain = (text) => text.normalize("NFKC").replace(/\s+/g, "");

// ran in the page: texts that stand out too little from what is behind them.
function tooFaint(least) {
  const canvas = Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d", { willReadFrequently: true });
  const rgba = (css) => {
    canvas.clearRect(0, 0, 1, 1);
    canvas.fillStyle = css;
    canvas.fillRect(0, 0, 1, 1);
    return [...canvas.getImageData(0, 0, 1, 1).data];
  };
  const luminance = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const behind = (e) => {
    for (; e; e = e.parentElement) {
      const c = rgba(getComputedStyle(e).backgroundColor);
      if (c[3] === 255) return c;
    }
    return [255, 255, 255, 255];
  };
  const found = [];
  let seen = 0;
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const e = walker.currentNode.parentElement;
    if (!walker.currentNode.textContent.trim() || e.closest("title, desc, style, script")) continue;
    const style = getComputedStyle(e);
    const a = luminance(rgba(e.closest("svg") ? style.fill : style.color));
    const b = luminance(behind(e));
    const contrast = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    seen++;
    if (contrast < least) found.push(`${contrast.toFixed(2)}:1 ${walker.currentNode.textContent.trim().slice(0, 40)}`);
  }
  return { seen, found };
}

// ran in the page: pictures without a name.
function nameless() {
  const named = (e) => {
    if (e.getAttribute("aria-hidden") === "true" || e.closest('[aria-hidden="true"]')) return true;
    if (e.tagName === "IMG") return Boolean(e.alt);
    const by = (e.getAttribute("aria-labelledby") ?? "").split(/\s+/).filter(Boolean);
    const text = by.length > 0 ? by.map((id) => document.getElementById(id)?.textContent ?? "").join("") : (e.getAttribute("aria-label") ?? "");
    if (by.length === 0 && e.getAttribute("role") === "img" && e.querySelector(":scope > title")?.textContent.trim()) return true;
    return e.getAttribute("role") === "img" && text.trim() !== "" && by.every((id) => document.getElementById(id));
  };
  return [...document.querySelectorAll("svg, img")].filter((e) => !e.parentElement.closest("svg") && !named(e)).map((e) => e.outerHTML.slice(0, 80));
}

// ran in the page: texts of drawings that reach out of them.
function cutOff() {
  const out = [];
  for (const text of document.querySelectorAll("svg text")) {
    const a = text.getBoundingClientRect();
    const b = text.closest("svg").getBoundingClientRect();
    if (a.left < b.left - 1 || a.right > b.right + 1 || a.top < b.top - 1 || a.bottom > b.bottom + 1) out.push(text.textContent);
  }
  return out;
}

async function onScreen(browser, name, url) {
  for (const scheme of ["light", "dark"]) {
    for (const width of scheme === "light" || keep ? widths : widths.slice(-1)) {
      const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme: scheme });
      const page = await context.newPage();
      const said = [];
      const asked = [];
      page.on("console", (m) => ["error", "warning"].includes(m.type()) && said.push(m.text()));
      page.on("pageerror", (e) => said.push(String(e)));
      page.on("request", (r) => r.url() !== url && asked.push(r.url()));
      await page.goto(url);
      const where = `${name}, ${scheme}, ${width} px`;
      const across = await page.evaluate(() => Math.max(document.documentElement.scrollWidth, document.body.scrollWidth));
      expect(across <= width, `${where}: ${across} px wide`);
      const cut = await page.evaluate(cutOff);
      expect(cut.length === 0, `${where}: cut off in a drawing: ${cut.join("; ")}`);
      expect(said.length === 0, `${where}: console: ${said.join("; ")}`);
      expect(asked.length === 0, `${where}: requests: ${asked.join(", ")}`);
      expect((await page.evaluate(() => window.ranFromTitle)) === undefined, `${where}: a script of the title ran`);
      expect((await page.locator("script").count()) === 0, `${where}: there is a script`);
      if (width === widths.at(-1)) {
        const { seen, found } = await page.evaluate(tooFaint, leastContrast);
        expect(seen > 50 && found.length === 0, `${where}: ${seen} texts, too little contrast: ${found.join("; ")}`);
        const without = await page.evaluate(nameless);
        expect(without.length === 0, `${where}: pictures without a name: ${without.join("; ")}`);
      }
      if (keep) await page.screenshot({ path: join(folder, `${name}-${scheme}-${width}.png`), fullPage: true });
      await context.close();
    }
  }
}

// onPaper looks whether the first sheet ends with what is to end it.
async function onPaper(browser, page) {
  for (const format of ["A4", "Letter"]) {
    const context = await browser.newContext({ colorScheme: "dark" });
    const sheet = await context.newPage();
    await sheet.goto(page.url);
    const first = await sheet.evaluate(() => [...document.querySelectorAll(".first h1, .first .answer p, .first .name, .first .says li, .first .inshort p")].map((e) => e.innerText));
    const file = join(folder, `${page.name}-${format}.pdf`);
    await sheet.pdf({ path: file, format, preferCSSPageSize: false });
    const text = plain(execFileSync("pdftotext", ["-f", "1", "-l", "1", "-layout", "-nopgbrk", file, "-"]).toString());
    const raw = plain(execFileSync("pdftotext", ["-f", "1", "-l", "1", "-raw", "-nopgbrk", file, "-"]).toString());
    expect(first.length >= 5, `${page.name}, ${format}: ${first.length} parts of the answer`);
    for (const part of first) {
      const wanted = plain(part);
      expect(raw.includes(wanted) || text.includes(wanted), `${page.name}, ${format}: not on the first sheet: ${wanted}`);
    }
    await context.close();
  }
}

const validator = new HtmlValidate({ root: true, extends: ["html-validate:recommended"] });
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const only = process.env.ONLY?.split(","); // names of pages, to look at these alone
for (const page of pages(root, folder).filter((p) => !only || only.includes(p.name))) {
  const file = join(folder, `${page.name}.html`);
  if (page.scenario) writeFileSync(page.scenario.file, page.scenario.text);
  execFileSync(program, [...page.command, "--force", "--report", file], { stdio: ["ignore", "ignore", "inherit"] });
  const html = readFileSync(file, "utf8");
  const report = await validator.validateString(html, file);
  const problems = report.results.flatMap((r) => r.messages.map((m) => `${m.line}: ${m.ruleId}: ${m.message}`));
  expect(report.valid, `${page.name}: HTML: ${problems.join("; ")}`);
  for (const text of page.shows ?? []) expect(html.includes(text), `${page.name}: does not show ${text}`);
  page.url = pathToFileURL(file).href;
  await onScreen(browser, page.name, page.url);
  if (!page.sheets) await onPaper(browser, page);
  console.log(`${page.name}: looked at`);
}
await browser.close();
expect(only || checks > 200, `only ${checks} checks`);
console.log(`${checks - failures} passed, ${failures} failed`);
process.exit(failures > 0 ? 1 : 0);
