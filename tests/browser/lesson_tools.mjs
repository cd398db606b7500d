// What the tests of the lesson page share. The sets are make_lessons.cc's.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { parseCsv } from './browser.mjs';

export const kAnswers = [1, 0, 2, 1, 0];  // of make_lessons' usual()
export const kChoices = [3, 2, 3, 2, 3];
export const kAmounts = [200, 150, 100, 75, 50];
export const toneOf = (item, choice) => 300 + 90 * (4 * item + choice);
export const kRate = 24000;

export const button = (page, name) => page.getByRole('button', { name, exact: true });
export const text = (page, id) => page.locator(`#${id}`).textContent();
export const state = (page) => page.evaluate(() => {
  const { player, progress } = window.arsisLesson;
  return { playing: player.playing, beat: player.beat(), voice: player.voice, at: progress.at,
    done: progress.done, student: progress.student };
});
export const untilPlaying = (page) => page.waitForFunction(
  () => window.arsisLesson.player.playing && window.arsisLesson.player.strand !== null);

export const near = (a, b, within, what) => assert.ok(Math.abs(a - b) <= within, `${what}: ${a}, not ${b}`);

// By mouse; `wrongly` takes the choice after the right one.
export async function answer(page, item, wrongly = false) {
  const choice = (kAnswers[item] + (wrongly ? 1 : 0)) % kChoices[item];
  await page.locator('.option').nth(choice).click();
  await button(page, 'this is my answer').click();
  return choice;
}

// What the page saves, read by another hand than the page's.
export async function savedTable(page) {
  const [download] = await Promise.all([page.waitForEvent('download'), button(page, 'save as CSV').click()]);
  const bytes = readFileSync(await download.path());
  assert.deepEqual([...bytes.subarray(0, 3)], [0xef, 0xbb, 0xbf]);
  const said = bytes.toString('utf8');
  assert.equal(said.replaceAll('\r\n', '').includes('\r'), false);
  return { name: download.suggestedFilename(),
    rows: parseCsv(bytes, { bom: true, record_delimiter: '\r\n', relax_column_count: false }) };
}
