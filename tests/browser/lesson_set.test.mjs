// A set as the program makes it, in a real browser, against the teacher's key that is made with it.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { Browser } from './browser.mjs';
import { button, near, state, text } from './lesson_tools.mjs';

let browser;
before(async () => { browser = await Browser.open(); });
after(() => browser.close());

// [0, 2, ...] of "1a 2c ..."
function keyOf(folder) {
  const html = readFileSync(`${process.env.ARSIS_PAGES}/${folder}/key.html`, 'utf8');
  const [, row] = /<p class="answers">(.*?)<\/p>/s.exec(html);
  return [...row.matchAll(/(\d+)([a-d])/g)].map(([, number, letter], i) => {
    assert.equal(Number(number), i + 1);
    return letter.charCodeAt(0) - 97;
  });
}

test('the page knows what the key knows, and draws what it plays', async () => {
  const key = keyOf('set');
  const { page, faults } = await browser.page('set/lesson');
  assert.equal(await page.evaluate(() => window.arsisLesson.items.length), key.length);
  const letters = 'abcd';
  for (const right of key) {
    assert.ok(await page.locator('#notes svg:visible').count() > 0);
    await page.keyboard.press(letters[right]);
    await page.keyboard.press('Enter');
    assert.ok((await text(page, 'verdict')).startsWith('Right: '));
    const drawn = new Set();
    for (const other of await page.locator('#compare button').all()) {
      await other.click();
      drawn.add(await page.locator('#picture').innerHTML());
    }
    // Choices differ in what is drawn of them, and so in what is heard.
    assert.equal(drawn.size, await page.locator('#compare button').count());
    await page.keyboard.press('n');
  }
  assert.equal(await text(page, 'sum'), `${key.length} of ${key.length} right`);
  assert.deepEqual(faults, []);
  await page.close();
});

test('the choices of a question are equally long and loud, and begin where the music does', async () => {
  const { page } = await browser.page('set/lesson');
  const heard = await page.evaluate(async () => {
    const { clips, voices, items, player } = window.arsisLesson;
    const context = new OfflineAudioContext(2, 1, player.sampleRate);
    const all = [];
    for (let item = 0; item < items.length; ++item) {
      const sounds = clips.of(item);
      const mine = [];
      for (let choice = 0; choice < voices[item].length; ++choice) {
        const buffer = await sounds.get(context, choice);
        const samples = buffer.getChannelData(0);
        const loud = samples.reduce((most, each) => Math.max(most, Math.abs(each)), 0);
        const { map, length } = voices[item][choice];
        mine.push({ frames: buffer.length, late: buffer.duration - length,
          level: 10 * Math.log10(samples.reduce((sum, each) => sum + each * each, 0) / samples.length),
          first: samples.findIndex((each) => Math.abs(each) > 0.05 * loud) / player.sampleRate,
          begin: map.secondAt(items[item].begin) });
      }
      all.push(mine);
    }
    return all;
  });
  for (const choices of heard) {
    for (const { frames, late, level, first, begin } of choices) {
      assert.equal(frames, choices[0].frames);
      near(late, 0, 0.003, 'length');
      near(level, choices[0].level, 1, 'mean power, which is near to loudness for the same notes');
      assert.ok(first >= begin - 0.01 && first < begin + 0.2, `begins at ${begin}, sounds at ${first}`);
    }
  }
  await page.close();
});

for (const width of [390, 1280]) {
  test(`a set fits a page ${width} wide, and has no serious fault of access`, async () => {
    const { page } = await browser.page('set/lesson', { width, dark: width === 390 });
    for (const answered of [false, true]) {
      if (answered) {
        await page.keyboard.press('1');
        await page.keyboard.press('Enter');
      }
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= width);
      assert.deepEqual(await browser.accessFaults(page), []);
    }
    await button(page, 'next question').click();
    assert.equal((await state(page)).at, 1);
    await page.close();
  });
}
