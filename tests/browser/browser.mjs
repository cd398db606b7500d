// A real browser for the tests, alone with files of the disk: any request to a network is a
// failure.
import { createRequire } from 'node:module';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const modules = createRequire(join(process.env.ARSIS_MODULES, 'x.js'));
const { chromium } = modules('playwright-core');
export const { parse: parseCsv } = modules('csv-parse/sync');  // by RFC 4180
const axe = readFileSync(modules.resolve('axe-core/axe.min.js'), 'utf8');

const kFlags = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run',
  '--disable-background-networking', '--disable-component-update', '--disable-sync',
  '--autoplay-policy=no-user-gesture-required'];

export class Browser {
  static async open() {
    const browser = new Browser();
    browser.folder = mkdtempSync(join(tmpdir(), 'arsis-browser-'));
    browser.context = await chromium.launchPersistentContext(browser.folder,
      { executablePath: process.env.ARSIS_BROWSER, headless: true, args: kFlags });
    return browser;
  }

  async close() {
    await this.context.close();
    rmSync(this.folder, { recursive: true, force: true });
  }

  // A page, by its name without ending. `faults` collects what a browser complains of and
  // every request for anything but the page itself.
  async page(name, { width = 1280, height = 800, dark = false, prepare } = {}) {
    const page = await this.context.newPage();
    const faults = [];
    const url = `file://${process.env.ARSIS_PAGES}/${name}.html`;
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) faults.push(message.text());
    });
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('request', (request) => { if (request.url() !== url) faults.push(request.url()); });
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme: dark ? 'dark' : 'light' });
    if (prepare) await page.addInitScript(prepare);
    await page.goto(url);
    return { page, faults };
  }

  // What axe-core calls serious or critical, each with the elements.
  async accessFaults(page) {
    await page.evaluate(axe);  // not hindered by the page's policy
    const results = await page.evaluate(() => window.axe.run());
    return results.violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map((node) => node.html.slice(0, 160)).join(' | ')}`);
  }
}
