// What the lesson page keeps of an evening: answers over a reload, the table, sounds that cannot be played,
// the memory of a phone.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { Browser } from './browser.mjs';
import { answer, button, kAnswers, savedTable, state, text, untilPlaying } from './lesson_tools.mjs';

let browser;
before(async () => { browser = await Browser.open(); });
after(() => browser.close());

test('what was done is there after a reload, for this set only', async () => {
  const { page } = await browser.page('questions');
  await answer(page, 0);
  await page.keyboard.press('Enter');
  await answer(page, 1, true);
  await page.evaluate(() => {
    const { student } = window.arsisLesson.controls;
    student.value = 'Ada';
    student.dispatchEvent(new Event('input'));
  });
  const before = await state(page);
  await page.reload();
  const { at, done, student } = await state(page);
  assert.deepEqual({ at, student }, { at: 1, student: 'Ada' });
  assert.deepEqual(done.map(({ choice }) => choice), before.done.map(({ choice }) => choice));
  assert.equal(await text(page, 'score'), 'so far 1 of 2 right; guessing gets 0.8 in the mean');
  assert.equal(await text(page, 'verdict'), 'Not so: it was “flat”, you answered “shaped”.');
  await page.goto(page.url().replace('questions', 'answered-otherwise'));
  assert.equal((await state(page)).done.every(({ choice }) => choice === -1), true);
  await page.close();
});

for (const [what, prepare] of [
  ['no store', () => { Object.defineProperty(window, 'sessionStorage', { get() { throw new Error('no'); } }); }],
  ['a full store', () => { Storage.prototype.setItem = () => { throw new Error('full'); }; }],
  ['a damaged store', () => { Storage.prototype.getItem = () => '{"at":1e9,"done":[{"choice":77}],"student":7}'; }],
  ['a store of something else', () => { Storage.prototype.getItem = () => '{"at":0,"student":"","done":[null,1,2,3,4]}'; }],
]) {
  test(`with ${what} it works and begins anew`, async () => {
    const { page, faults } = await browser.page('questions', { prepare });
    assert.equal((await state(page)).at, 0);
    await answer(page, 0);
    assert.equal(await text(page, 'verdict'), 'Right: “motif 2”.');
    assert.deepEqual(faults, []);
    await page.close();
  });
}

test('starting over asks first', async () => {
  const { page } = await browser.page('questions');
  await answer(page, 0);
  await button(page, 'results').click();
  await page.getByLabel('your name').fill('Ada');
  await button(page, 'start over').click();
  assert.equal(await page.getByRole('dialog').isVisible(), true);
  await page.keyboard.press('n');  // no key of the page's
  await page.keyboard.press('Escape');
  assert.equal((await state(page)).done[0].choice, kAnswers[0]);
  await button(page, 'start over').click();
  await button(page, 'keep them').click();
  assert.equal((await state(page)).student, 'Ada');
  await button(page, 'start over').click();
  await page.getByRole('dialog').getByRole('button', { name: 'start over' }).click();
  assert.equal(await text(page, 'count'), 'question 1 of 5');
  assert.equal(await page.locator('input[name=choice]:checked').count(), 0);
  assert.equal((await state(page)).done[0].choice, -1);
  assert.equal((await state(page)).student, '');
  await page.reload();
  assert.equal((await state(page)).done[0].choice, -1);
  await page.close();
});

test('a sound that cannot be played is said, left out and not counted', async () => {
  const { page, faults } = await browser.page('broken-lesson');
  await page.keyboard.press(' ');
  await page.getByRole('status').getByText('does not count').waitFor();
  assert.equal(await page.locator('input[name=choice]:disabled').count(), 3);
  assert.equal(await button(page, 'this is my answer').isVisible(), false);
  await page.keyboard.press('1');
  await page.keyboard.press('Enter');
  assert.equal((await state(page)).done[0].choice, -1);
  assert.equal(await page.locator('#strip button').first().getAttribute('aria-label'), 'question 1, cannot be played');
  await button(page, 'next question').click();
  await answer(page, 1);
  await button(page, 'shaped').click();
  await page.getByRole('status').getByText('This one cannot be played here.').waitFor();
  await button(page, 'flat').click();
  await untilPlaying(page);
  assert.equal(await page.locator('#status.seen').count(), 0);
  await page.reload();
  await page.keyboard.press('p');
  assert.equal(await page.locator('input[name=choice]:disabled').count(), 3);
  await button(page, 'results').click();
  assert.equal(await text(page, 'sum'), '1 of 1 right');
  assert.equal(await text(page, 'by-chance'),
    'Guessing would have got 0.5 in the mean. 1 could not be played and does not count.');
  const { rows } = await savedTable(page);
  assert.deepEqual(rows.slice(1).map((row) => row.slice(5, 8)), [['', '', 'not counted'], ['flat', 'flat', 'yes']]);
  assert.deepEqual(faults, []);
  await page.close();
});

test('the right answer of a question that is open is not saved', async () => {
  const { page } = await browser.page('questions');
  await answer(page, 0);
  await button(page, 'results').click();
  assert.equal(await text(page, 'by-chance'), 'Guessing would have got 0.3 in the mean. 4 questions are still open.');
  const { name, rows } = await savedTable(page);
  assert.equal(name, 'lesson-answers.csv');
  assert.deepEqual(rows.slice(2).map((row) => row.slice(5, 8)), Array(4).fill(['', '', '']));
  await page.close();
});

test('a set without questions says so', async () => {
  const { page, faults } = await browser.page('no-questions');
  assert.equal(await page.getByText('There are no questions in this set.').isVisible(), true);
  assert.equal(await page.getByRole('button').count(), 0);
  assert.deepEqual(await browser.accessFaults(page), []);
  assert.deepEqual(faults, []);
  await page.close();
});

test('of a long set only the sounds nearby are held', async () => {
  const { page, faults } = await browser.page('long-lesson', { prepare: () => {
    window.made = [];
    const decode = BaseAudioContext.prototype.decodeAudioData;
    BaseAudioContext.prototype.decodeAudioData = async function (bytes) {
      const buffer = await decode.call(this, bytes);
      window.made.push(new WeakRef(buffer));
      return buffer;
    };
  } });
  const session = await page.context().newCDPSession(page);
  for (let item = 0; item < 12; ++item) {
    await page.keyboard.press(' ');
    await page.waitForFunction(() => window.arsisLesson.player.sounds.sizes.size === 4);
    if (item % 6 === 5) {
      // What is fading out is let go a second later.
      await page.waitForTimeout(1300);
      await session.send('HeapProfiler.collectGarbage');
      const held = await page.evaluate(() => window.made.filter((made) => made.deref()).length);
      assert.ok(held <= 8, `${held} sounds held`);
    }
    await page.keyboard.press('n');
  }
  assert.ok(await page.evaluate(() => window.made.length) >= 48);
  assert.deepEqual(faults, []);
  await page.close();
});
