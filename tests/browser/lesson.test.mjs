// The lesson page in a real browser: it asks, plays, takes answers, tells what was right, lets compare.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { Browser } from './browser.mjs';
import { answer, button, kAmounts, kAnswers, kChoices, kRate, near, savedTable, state, text, toneOf,
  untilPlaying } from './lesson_tools.mjs';
import { levelOf, playOffline, samplesOf } from './page_tools.mjs';

let browser;
before(async () => { browser = await Browser.open(); });
after(() => browser.close());

// The tone that sounds in a stretch of samples, of those that the sets have.
function toneIn(samples, from, to) {
  const powerAt = (hertz) => {
    let [re, im] = [0, 0];
    for (let i = Math.round(from * kRate); i < to * kRate; ++i) {
      re += samples[i] * Math.cos((2 * Math.PI * hertz * i) / kRate);
      im += samples[i] * Math.sin((2 * Math.PI * hertz * i) / kRate);
    }
    return re * re + im * im;
  };
  const tones = Array.from({ length: 20 }, (_, i) => 300 + 90 * i);
  return tones.reduce((best, tone) => (powerAt(tone) > powerAt(best) ? tone : best));
}

// The tone at the output of the page as it plays, or 0.
const toneHeard = async (page) => {
  await page.waitForTimeout(250);
  return page.evaluate(async () => {
    const { context, output } = window.arsisLesson.player;
    const listener = new AnalyserNode(context, { fftSize: 4096, smoothingTimeConstant: 0 });
    output.connect(listener);
    await new Promise((resolve) => setTimeout(resolve, 400));
    const levels = new Float32Array(listener.frequencyBinCount);
    listener.getFloatFrequencyData(levels);
    output.disconnect(listener);
    const most = levels.indexOf(Math.max(...levels));
    return levels[most] < -60 ? 0 : (most * context.sampleRate) / 4096;
  });
};

test('a set is gone through with the mouse: heard, answered, told, scored, saved', async () => {
  const { page, faults } = await browser.page('questions');
  const wrong = [1, 3];  // of the five
  const chosen = [];
  for (let item = 0; item < 5; ++item) {
    assert.equal(await text(page, 'count'), `question ${item + 1} of 5`);
    assert.equal(await text(page, 'ask'), item % 2 === 0 ? 'Which motif leads?' : 'Is it flat or shaped?');
    assert.equal(await text(page, 'place'), 'Lantern Song, bars 1 to 3');
    if (item < 2) {
      await button(page, 'play').click();
      near(await toneHeard(page), toneOf(item, kAnswers[item]), 8, 'tone');
      await button(page, 'pause').click();
      assert.equal(await button(page, 'go on').count(), 1);
    }
    chosen.push(await answer(page, item, wrong.includes(item)));
    const verdict = await text(page, 'verdict');
    const labels = item % 2 === 0 ? ['motif 1', 'motif 2', 'motif 3'] : ['flat', 'shaped'];
    assert.equal(verdict, wrong.includes(item)
      ? `Not so: it was “${labels[kAnswers[item]]}”, you answered “${labels[chosen[item]]}”.`
      : `Right: “${labels[kAnswers[item]]}”.`);
    await button(page, item < 4 ? 'next question' : 'to the results').click();
  }
  assert.equal(await text(page, 'sum'), '3 of 5 right');
  assert.equal(await text(page, 'by-chance'), 'Guessing would have got 2.0 in the mean.');
  const rows = (await page.locator('table').allInnerTexts()).map((all) => all.split('\n').slice(-3)
    .map((row) => row.split(/\t/)));
  assert.deepEqual(rows[0].slice(-2), [['Which motif leads?', '3', '3', '1.0'], ['Is it flat or shaped?', '0', '2', '1.0']]);
  assert.deepEqual(rows[1], [['200 to 150 %', '1', '2', '0.8'], ['100 to 75 %', '1', '2', '0.8'], ['50 %', '1', '1', '0.3']]);
  await page.getByLabel('your name').fill('=Zoë "Z", 4a');
  const table = await savedTable(page);
  assert.equal(table.name, 'lesson-Zoë-Z-4a.csv');
  const labelOf = (item, choice) => (kChoices[item] === 3 ? `motif ${choice + 1}` : ['flat', 'shaped'][choice]);
  assert.deepEqual(table.rows.slice(0, 1), [['student', 'number', 'question', 'place', 'amount in percent', 'answer',
    'right answer', 'right', 'times played', 'seconds']]);
  table.rows.slice(1).forEach((row, item) => {
    assert.deepEqual(row.slice(0, 9), ['\'=Zoë "Z", 4a', `${item + 1}`,
      item % 2 === 0 ? 'Which motif leads?' : 'Is it flat or shaped?', 'Lantern Song, bars 1 to 3',
      `${kAmounts[item]}`, labelOf(item, chosen[item]), labelOf(item, kAnswers[item]),
      wrong.includes(item) ? 'no' : 'yes', item < 2 ? '1' : '0']);
    assert.ok(Number(row[9]) >= (item < 2 ? 0.6 : 0) && Number(row[9]) < 20, row[9]);
  });
  assert.equal(table.rows.length, 6);
  assert.deepEqual(faults, []);
  await page.close();
});

test('the keyboard does all of it', async () => {
  const { page, faults } = await browser.page('questions');
  await page.keyboard.press(' ');
  await untilPlaying(page);
  await page.keyboard.press(' ');
  assert.equal((await state(page)).playing, false);
  await page.keyboard.press('Enter');  // nothing is chosen: nothing happens
  assert.equal((await state(page)).at, 0);
  await page.keyboard.press('1');
  await page.keyboard.press('B');
  await page.keyboard.press('d');  // there is none
  await page.keyboard.press('Enter');
  assert.equal(await text(page, 'verdict'), 'Right: “motif 2”.');
  await page.keyboard.press('c');  // now for hearing
  await untilPlaying(page);
  assert.equal((await state(page)).voice, 2);
  assert.equal((await state(page)).done[0].choice, 1);
  await page.keyboard.press('Enter');
  assert.equal((await state(page)).at, 1);
  assert.equal((await state(page)).playing, false);
  await page.keyboard.press('n');
  await page.keyboard.press('p');
  assert.equal((await state(page)).at, 1);
  // With the tab key alone, and arrows among the choices.
  const reach = async (what) => {
    for (let i = 0; i < 20; ++i) {
      await page.keyboard.press('Tab');
      if (await page.evaluate((wanted) => document.activeElement.matches(wanted), what)) return;
    }
    assert.fail(`${what} is not reached`);
  };
  await reach('input[name=choice]');
  await page.keyboard.press(' ');
  assert.equal(await page.locator('input[name=choice]').first().isChecked(), true);
  assert.equal((await state(page)).playing, false);
  await page.keyboard.press('ArrowDown');
  assert.equal(await page.locator('input[name=choice]').nth(1).isChecked(), true);
  assert.equal((await state(page)).done[1].choice, -1);  // an arrow is no answer
  await reach('#answer');
  await page.keyboard.press('Enter');
  assert.equal((await state(page)).done[1].choice, 1);
  assert.equal(await page.evaluate(() => document.activeElement.id), 'next');
  await page.keyboard.press('Enter');
  assert.equal((await state(page)).at, 2);
  // To the results by the strip.
  await reach('#strip button');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Enter');
  assert.equal(await text(page, 'sum'), '1 of 2 right');
  assert.equal(await page.evaluate(() => document.activeElement.id), 'sum');
  // A name is a name, and no key of the page's.
  await page.locator('#student').focus();
  await page.keyboard.type('Ben 123 n p');
  assert.equal((await state(page)).student, 'Ben 123 n p');
  assert.equal((await state(page)).at, 5);
  assert.deepEqual(faults, []);
  await page.close();
});

test('it is read out: what is asked, the choices, and what was right', async () => {
  const { page } = await browser.page('questions');
  const asked = page.getByRole('group', { name: 'Which motif leads?' });
  assert.equal(await asked.getByRole('radio').count(), 3);
  assert.equal(await asked.getByRole('radio', { name: 'motif 2' }).count(), 1);
  assert.equal(await page.getByRole('heading', { name: 'Which motif leads?' }).count(), 1);
  const told = page.getByRole('status').filter({ hasText: 'Right' });
  assert.equal(await told.count(), 0);
  await answer(page, 0);
  assert.equal(await told.count(), 1);
  assert.equal(await page.getByRole('group', { name: 'hear the passage as' }).getByRole('button', { pressed: true }).textContent(), 'motif 2');
  assert.equal(await page.getByRole('button', { name: 'question 1, right' }).count(), 1);
  await page.close();
});

test('a key that is held down goes one step only', async () => {
  const { page } = await browser.page('questions');
  await page.keyboard.press('2');
  for (let i = 0; i < 5; ++i) await page.keyboard.down('Enter');
  await page.keyboard.up('Enter');
  assert.equal((await state(page)).at, 0);
  assert.equal((await state(page)).done[0].choice, 1);
  await page.close();
});

test('an answer is given once', async () => {
  const { page } = await browser.page('questions');
  const chosen = await answer(page, 0, true);
  assert.equal(await page.locator('input[name=choice]:disabled').count(), 3);
  await page.locator('.option').nth(kAnswers[0]).click({ force: true });
  assert.equal((await state(page)).done[0].choice, chosen);
  await page.evaluate((right) => {
    window.arsisLesson.question.radios[right].checked = true;
    window.arsisLesson.answer();
  }, kAnswers[0]);
  assert.equal((await state(page)).done[0].choice, chosen);
  await page.reload();
  await page.keyboard.press('2');
  await page.keyboard.press('Enter');
  assert.equal((await state(page)).done[0].choice, chosen);
  await page.close();
});

test('a wrong answer is told in words, with the picture of what was played; the others are shown on demand', async () => {
  const { page } = await browser.page('questions');
  assert.equal(await page.locator('#picture svg').count(), 0);
  assert.equal(await page.locator('#notes svg:visible').textContent(), 'wide notes of 1');
  assert.equal(await page.locator('.cursor').count(), 0);  // where it lingers would tell
  await answer(page, 0, true);
  assert.equal(await page.locator('#notes svg').count(), 0);
  const seen = page.locator('#picture svg:visible');
  assert.equal(await seen.textContent(), 'wide picture 2 of 1');
  assert.equal(await text(page, 'caption'), 'what was played: motif 2');
  assert.equal(await seen.getAttribute('aria-label'), 'what was played: motif 2');
  assert.deepEqual(await page.locator('.option em').allTextContents(), ['', 'this is what was played', 'your answer']);
  assert.deepEqual(await page.locator('#strip button').first().getAttribute('aria-label'), 'question 1, not right');
  await page.locator('#compare').getByRole('button', { name: 'motif 3', exact: true }).click();
  assert.equal(await seen.textContent(), 'wide picture 3 of 1');
  assert.equal(await text(page, 'caption'), 'for comparison: motif 3');
  await page.setViewportSize({ width: 390, height: 800 });
  assert.equal(await seen.textContent(), 'narrow picture 3 of 1');
  // Its cursor goes with the music.
  await untilPlaying(page);
  const cursor = page.locator('#picture .narrow .cursor');
  const first = (await cursor.boundingBox()).x;
  await page.waitForTimeout(400);
  assert.ok((await cursor.boundingBox()).x > first + 5);
  await page.keyboard.press('n');
  await page.keyboard.press('n');
  await answer(page, 2);
  assert.equal(await seen.textContent(), 'narrow picture 3 of 3');
  await page.close();
});

test('each question plays what is asked, and each choice can be compared at the same place', async () => {
  const { page } = await browser.page('questions');
  for (const item of [0, 3]) {
    await page.evaluate((at) => window.arsisLesson.go(at), item);
    const asked = samplesOf(await page.evaluate(playOffline,
      { seconds: 1.5, steps: [{ at: 0, call: 'playOrPause', with: [] }] }));
    assert.equal(toneIn(asked, 0.3, 1.2), toneOf(item, kAnswers[item]));
    await answer(page, item);
    const other = (kAnswers[item] + 1) % kChoices[item];
    const both = samplesOf(await page.evaluate(playOffline, { seconds: 2, steps: [
      { at: 0, call: 'play', with: [4] }, { at: 1, call: 'hear', with: [other] }] }));
    assert.equal(toneIn(both, 0.3, 0.9), toneOf(item, kAnswers[item]));
    assert.equal(toneIn(both, 1.2, 1.8), toneOf(item, other));
    const usual = levelOf(both, kRate, 0.4, 0.8);
    for (let from = 0.9; from < 1.3; from += 0.01) {
      const level = levelOf(both, kRate, from, from + 0.01);
      assert.ok(level > 0.6 * usual && level < 1.4 * usual, `${level} of ${usual} at ${from}`);
    }
  }
  await page.close();
});

test('while it plays, a button for another choice changes what is heard and not the place', async () => {
  const { page, faults } = await browser.page('questions');
  await answer(page, 0);
  await button(page, 'play').click();
  await untilPlaying(page);
  near(await toneHeard(page), toneOf(0, 1), 8, 'tone');
  for (const [key, choice] of [['motif 3', 2], ['motif 1', 0]]) {
    const before = (await state(page)).beat;
    await page.locator('#compare').getByRole('button', { name: key, exact: true }).click();
    const after = (await state(page)).beat;
    assert.ok(after >= before && after < before + 1, `${before} to ${after}`);
    near(await toneHeard(page), toneOf(0, choice), 8, key);
    assert.ok((await state(page)).beat > after + 0.5);  // and so it goes on
    assert.equal(await page.locator('#compare [aria-pressed=true]').textContent(), key);
  }
  assert.deepEqual(faults, []);
  await page.close();
});

test('the passage ends, and can be played again; that is counted until the answer', async () => {
  const { page } = await browser.page('questions');
  await button(page, 'play').click();
  await untilPlaying(page);
  await page.evaluate(() => {
    const { player } = window.arsisLesson;
    return player.play(player.voices[player.voice].map.beatAt(player.voices[player.voice].length - 0.4));
  });
  await button(page, 'play again').click({ timeout: 5000 });
  await untilPlaying(page);
  await page.waitForTimeout(300);
  await page.keyboard.press(' ');
  await page.keyboard.press(' ');  // goes on, which is not from the beginning
  assert.equal((await state(page)).done[0].played, 2);
  await answer(page, 0);
  await page.keyboard.press('1');
  await page.reload();
  await page.keyboard.press(' ');
  await untilPlaying(page);
  assert.equal((await state(page)).done[0].played, 2);
  await page.close();
});
