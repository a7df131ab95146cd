// report.test.mjs - the report as a browser shows it: node report.test.mjs PAGE.html ...
//
// Rules
// (1) Nothing is said on the console, nothing is asked from the network, no script is there to run.
// (2) Nothing is wider than the screen at 360 and 1280 px, and on paper (A4 and Letter) no row is cut.
// (3) axe-core (WCAG 2 A and AA, best practices) finds no violation, light and dark; html-validate no error.
// (4) A first sheet fits one page of A4 and of Letter and two screens of a phone (360 x 740); each later sheet carries the
//     code, its number and the seal, and none ends with a heading, a caption, the head of
//     a table or the first line of a group.
import assert from 'node:assert/strict';
import { readFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { execFileSync } from 'node:child_process';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { after, before, test } from 'node:test';
import { HtmlValidate } from 'html-validate';
import { chromium } from 'playwright-core';

const pages = process.env.REPORT_PAGES.split(':').map((page) => resolve(page));
const pictures = process.env.REPORT_PICTURES; // a folder to leave screenshots and PDFs in
const axe = readFileSync(new URL('node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');
const profile = mkdtempSync(join(tmpdir(), 'curetrace-browser.'));
const flags = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync', '--hide-scrollbars'];
const widths = [360, 1280];
let browser;

before(async () => {
  browser = await chromium.launchPersistentContext(profile, {
    executablePath: '/usr/bin/chromium', headless: true, args: flags, viewport: { width: 1280, height: 900 },
  });
});
after(async () => {
  await browser.close();
  rmSync(profile, { recursive: true, force: true });
});

async function open(path, width, scheme = 'light') {
  const page = await browser.newPage();
  const heard = [];

  await page.emulateMedia({ colorScheme: scheme });

  page.on('console', (message) => heard.push(`console: ${message.text()}`));
  page.on('pageerror', (error) => heard.push(`error: ${error.message}`));
  page.on('dialog', (dialog) => { heard.push(`dialog: ${dialog.message()}`); dialog.dismiss(); });
  page.on('request', (request) => {
    if (request.url() !== pathToFileURL(path).href) heard.push(`request: ${request.url()}`);
  });
  await page.setViewportSize({ width, height: 900 });
  await page.goto(pathToFileURL(path).href, { waitUntil: 'load' });
  return { page, heard };
}

const plain = (text) => text.replace(/\s+/g, ' ').trim();

// The lines of each sheet, from the top down.
function read_sheets(pdf) {
  const text = execFileSync('pdftotext', ['-layout', pdf, '-'], { encoding: 'utf8', maxBuffer: 1 << 26 });

  return text.split('\f').slice(0, -1).map((sheet) => sheet.split('\n').filter((line) => line.trim() !== ''));
}

const picture = (path, ending) => join(pictures, `${path.split('/').pop().replace(/\.html$/, '')}-${ending}`);

for (const path of pages) {
  const name = path.split('/').pop();

  for (const width of widths) {
    test(`${name} at ${width} px is silent and fits`, async () => {
      const { page, heard } = await open(path, width);
      const wide = await page.evaluate(() => ({
        scroll: document.documentElement.scrollWidth,
        screen: document.documentElement.clientWidth,
        beyond: [...document.querySelectorAll('body *')].filter((element) => {
          const box = element.getBoundingClientRect();
          return box.width > 1 && (box.right > innerWidth + 0.5 || box.left < -0.5);
        }).map((element) => element.outerHTML.slice(0, 120)),
      }));

      if (pictures) await page.screenshot({ path: picture(path, `${width}.png`), fullPage: true });
      assert.equal(wide.scroll, wide.screen);
      assert.deepEqual(wide.beyond, []);
      assert.deepEqual(heard, []);
      assert.equal(await page.locator('script, iframe, object, embed, link, img, form').count(), 0);
      await page.close();
    });

    for (const scheme of ['light', 'dark']) test(`${name} at ${width} px, ${scheme}, is accessible`, async () => {
      const { page } = await open(path, width, scheme);
      await page.evaluate(axe);
      const found = await page.evaluate(() => globalThis.axe.run(document));
      const problems = found.violations.map((v) => `${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 160)}`);

      assert.deepEqual(problems, []);
      assert.ok(found.passes.some((rule) => rule.id === 'color-contrast'));
      await page.close();
    });
  }

  test(`${name} is correct HTML`, async () => {
    // Recommended rules with one exception: a title longer than a search engine shows is no mistake here.
    const validator = new HtmlValidate({ extends: ['html-validate:recommended', 'html-validate:a11y'],
      rules: { 'long-title': 'off' } });
    const checked = await validator.validateFile(path);
    const problems = checked.results.flatMap((result) => result.messages.map((m) =>
      `${m.line}:${m.column} ${m.ruleId}: ${m.message}`));

    assert.deepEqual(problems, []);
  });

  test(`${name} has its headings in order and one h1`, async () => {
    const { page } = await open(path, 1280);
    const levels = await page.evaluate(() =>
      [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map((heading) => Number(heading.tagName[1])));

    assert.equal(levels.filter((level) => level === 1).length, 1);
    levels.forEach((level, i) => assert.ok(i === 0 ? level === 1 : level <= levels[i - 1] + 1));
    await page.close();
  });

  test(`${name} says what matters on two screens of a phone`, async () => {
    const { page } = await open(path, 360);
    const ends = await page.evaluate(() => [...document.querySelectorAll('.summary')].map((summary) =>
      summary.getBoundingClientRect().height));

    for (const height of ends) assert.ok(height <= 2 * 740, `${height} px`);
    await page.close();
  });

  for (const format of ['A4', 'Letter']) {
    test(`${name} prints on ${format}`, async () => {
      const { page } = await open(path, 1280);

      await page.emulateMedia({ media: 'print' });
      const inside = await page.evaluate(() =>
        [...document.querySelectorAll('tr, .verdict')].every((element) =>
          getComputedStyle(element).breakInside === 'avoid') &&
        [...document.querySelectorAll('thead')].every((element) =>
          getComputedStyle(element).display === 'table-header-group'));
      assert.ok(inside);
      const headings = await page.evaluate(() =>
        [...document.querySelectorAll('h1, h2, h3, h4, caption, .group th')].map((heading) => heading.innerText));
      const heads = await page.evaluate(() =>
        [...document.querySelectorAll('thead')].map((head) => head.innerText.split(/\s+/)));
      const codes = await page.evaluate(() =>
        [...document.querySelectorAll('h2 > bdi')].map((code) => code.innerText));
      const summaries = await page.locator('.summary').count();
      const records = await page.locator('.record').count();
      const pdf = join(profile, 'printed.pdf');
      await page.pdf({ format, preferCSSPageSize: false, path: pictures ? picture(path, `${format}.pdf`) : pdf });
      const sheets = read_sheets(pictures ? picture(path, `${format}.pdf`) : pdf);

      if (records === 0 && summaries > 0) assert.equal(sheets.length, summaries);
      if (records > 0) assert.ok(sheets.length > summaries);
      sheets.forEach((lines, i) => {
        const text = lines.join(' ');

        assert.ok(text.includes(`page ${i + 1} of ${sheets.length}`), text.slice(0, 200));
        assert.match(text, /seal [A-Z0-9]{5}-/);
        if (summaries > 0) assert.ok(codes.some((code) => plain(lines[0]).startsWith(plain(code))), lines[0]);
        const last = plain(lines.slice(0, -1).at(-1)); /* the line above the foot of the sheet */
        assert.ok(!headings.some((heading) => heading.split('\n').some((part) => plain(part) === last)), last);
        assert.ok(!heads.some((head) => last.split(' ').every((word) => head.includes(word))), last);
      });
      await page.close();
    });
  }
}
