// Takes the pictures of README.md: `tests/browser/run.sh PROGRAM examples/pictures/take.mjs`.
import { Browser } from '../../tests/browser/browser.mjs';

const browser = await Browser.open();
for (const [name, width, height] of [['listening', 1280, 720], ['listening-phone', 390, 760]]) {
  const { page } = await browser.page('lantern-song', { width, height });
  await page.locator('[data-block="1.2"] .touch >> visible=true').first().click();
  await page.mouse.move(0, 0);
  await page.waitForFunction(() => window.arsisPage.player.beat() > 13);
  await page.screenshot({ path: new URL(`${name}.png`, import.meta.url).pathname });
  await page.close();
}
await browser.close();
