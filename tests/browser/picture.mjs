// picture.mjs - the beginning of a page as a picture for docs/:
//     curetrace demo /tmp/demo
//     curetrace report L-01 --notebook /tmp/demo/notebook.sqlite --output /tmp/demo/l-01.html
//     node tests/browser/picture.mjs /tmp/demo/l-01.html docs/images/report.png 680 760
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const [page, picture, width, height] = process.argv.slice(2);
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--hide-scrollbars'],
});
const tab = await browser.newPage({ viewport: { width: Number(width), height: Number(height) } });

await tab.goto(pathToFileURL(resolve(page)).href);
await tab.screenshot({ path: picture });
await browser.close();
