// The listening page in a real browser: it loads alone, plays, follows, switches, obeys.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { Browser } from './browser.mjs';
import { levelOf, playOffline, samplesOf, watchCursor, watchSources } from './page_tools.mjs';

let browser;
before(async () => { browser = await Browser.open(); });
after(() => browser.close());

const kPieces = ['lantern-song', 'ferry-study', 'mill-round'];
const kLatency = 0.03;  // seconds that the cursor may be from what is heard

// The player's own words for where it is.
const state = (page) => page.evaluate(() => {
  const { player, chosen } = window.arsisPage;
  return { playing: player.playing, beat: player.beat(), voice: player.voice, speed: player.speed,
    loop: player.loop, chosen: chosen && chosen.name };
});

const untilPlaying = (page) => page.waitForFunction(
  () => window.arsisPage.player.playing && window.arsisPage.player.strand !== null);
const data = (page) => page.evaluate(() => window.arsisPage.data);
const block = async (page, name) => (await data(page)).blocks.find((each) => each.name === name);
const near = (a, b, within, what) => assert.ok(Math.abs(a - b) <= within, `${what}: ${a}, not ${b}`);

for (const piece of kPieces) {
  test(`${piece} loads from the disk without a complaint or a request, and plays`, async () => {
    const { page, faults } = await browser.page(piece);
    await page.getByRole('button', { name: 'play', exact: true }).click();
    await untilPlaying(page);
    const from = (await state(page)).beat;
    await page.waitForTimeout(700);
    const { beat } = await state(page);
    assert.ok(beat > from + 0.3, `from ${from} to ${beat}`);
    await page.getByRole('button', { name: 'pause', exact: true }).click();
    assert.equal((await state(page)).playing, false);
    assert.deepEqual(faults, []);
    await page.close();
  });
}

// The second of the sound that the audio clock has reached, by what was scheduled.
function heardSecond(clock, started, speed) {
  const last = started.filter(({ when }) => when <= clock).at(-1);
  return last.offset + (clock - last.when) * speed;
}

// The cursor's second of the sound is near to the one that `heard` gives for a moment of the audio
// clock. On a busy machine a frame of the screen may come late to be looked at: one in twenty is let
// pass.
function checkCursor(seen, heard, speed) {
  const late = (clock) => seen.map((each) => Math.abs(each.second - heard(each[clock])) / speed).sort((a, b) => a - b);
  const fine = late('clock');
  const coarse = late('coarseClock');
  assert.ok(fine[Math.floor(0.95 * fine.length)] < kLatency, `${fine}`);
  assert.ok(coarse[coarse.length >> 1] < kLatency, `by the coarse clock: ${coarse}`);
}

test('the cursor is within 30 ms of what sounds, after a change of voice too', async () => {
  const { page } = await browser.page('lantern-song', { prepare: watchSources });
  await page.evaluate(() => window.arsisPage.player.play(6));
  await untilPlaying(page);
  for (const voice of [null, '1', '3']) {
    if (voice !== null) await page.keyboard.press(voice);
    await page.waitForTimeout(300);
    const seen = await page.evaluate(watchCursor, 2);
    const started = await page.evaluate(() => window.started);
    assert.ok(seen.length > 30, 'frames of the screen');
    checkCursor(seen, (clock) => heardSecond(clock, started, 1), 1);
  }
  await page.close();
});

for (const speed of [50, 150]) {
  test(`the cursor is within 30 ms of what sounds at ${speed} %`, async () => {
    const { page } = await browser.page('lantern-song', { prepare: watchSources });
    await page.evaluate((at) => {
      window.arsisPage.controls.speed.value = at;
      window.arsisPage.controls.speed.dispatchEvent(new Event('input'));
      return window.arsisPage.player.play(9);
    }, speed);
    await untilPlaying(page);
    await page.waitForTimeout(300);
    const seen = await page.evaluate(watchCursor, 3);
    // Stretched sounds follow one another without a gap from the first one on, which begins 10 ms
    // before the beat that was asked for.
    const { started, second } = await page.evaluate(() => ({
      started: window.started,
      second: window.arsisPage.player.voices[window.arsisPage.player.voice].map.secondAt(9) - 0.01 }));
    started.slice(1).forEach((each, i) => {
      near(each.when, started[i].when + started[i].length, 1e-6, 'gap between chunks');
    });
    checkCursor(seen, (clock) => second + (clock - started[0].when) * (speed / 100), speed / 100);
    await page.close();
  });
}

test('a change of voice leaves no gap and is never louder than both, at the same place', async () => {
  const { page } = await browser.page('lantern-song');
  const play = { at: 0, call: 'play', with: [3] };
  const voice = (at, number) => ({ at, call: 'setVoice', with: [number] });
  const rate = 24000;
  const alone = [];
  for (const number of [0, 1]) {
    const steps = [voice(0, number), play];
    alone.push(samplesOf(await page.evaluate(playOffline, { seconds: 5, steps })));
  }
  for (const at of [1.6, 2.08, 3.2]) {  // where the audio clock stands between two of its steps
    const steps = [voice(0, 0), play, voice(at, 1)];
    const both = samplesOf(await page.evaluate(playOffline, { seconds: 5, steps }));
    // The other voice comes to the same beat at another second: it is compared shifted. Both begin
    // 10 ms before the beat, under their rise.
    const shift = await page.evaluate((passed) => {
      const [flat, shaped] = window.arsisPage.player.voices;
      const beat = flat.map.beatAt(flat.map.secondAt(3) - 0.01 + passed);
      return shaped.map.secondAt(beat) - shaped.map.secondAt(3) + 0.01 - passed;
    }, at);
    for (let from = at - 0.05; from < at + 0.15; from += 0.005) {
      const [old, fresh] = [levelOf(alone[0], rate, from, from + 0.005),
        levelOf(alone[1], rate, from + shift, from + shift + 0.005)];
      const heard = levelOf(both, rate, from, from + 0.005);
      assert.ok(heard > 0.5 * Math.min(old, fresh), `${from}: ${heard} of ${old} and ${fresh}`);
      assert.ok(heard < 1.2 * Math.max(old, fresh), `${from}: ${heard} of ${old} and ${fresh}`);
    }
    // Then it is the other voice, sample by sample, on the frame that is nearest to the beat.
    const apart = [-2, -1, 0, 1, 2].map((by) => {
      const moved = Math.round(shift * rate) + by;
      let most = 0;
      for (let i = Math.round((at + 0.2) * rate); i < 4.5 * rate; ++i) {
        most = Math.max(most, Math.abs(both[i] - alone[1][i + moved]));
      }
      return most;
    });
    assert.ok(Math.min(...apart) < 1e-4, `${apart} apart`);
  }
  await page.close();
});

test('voices are as long and as loud as they should be when they are decoded', async () => {
  const { page } = await browser.page('lantern-song');
  const voices = await page.evaluate(async () => {
    const { player } = window.arsisPage;
    player.open();
    const found = [];
    for (const [voice, { length }] of player.voices.entries()) {
      const buffer = await player.sounds.get(player.context, voice);
      const samples = buffer.getChannelData(0);
      found.push({ level: 10 * Math.log10(samples.reduce((sum, x) => sum + x * x, 0) / samples.length),
        late: buffer.duration - length });
    }
    return found;
  });
  // What the coder puts in front and behind is taken off again.
  for (const { late } of voices) near(late, 0, 0.003, 'length');
  const levels = voices.map(({ level }) => level);
  // By their mean power, which is near to loudness for the same notes.
  assert.ok(Math.max(...levels) - Math.min(...levels) < 1, levels.join(' '));
  assert.equal(levels.length, 7);
  await page.close();
});

test('a click on a block plays it from its start; a loop goes round in it', async () => {
  const { page } = await browser.page('lantern-song');
  const wanted = await block(page, '2.1');
  await page.locator('.wide [data-block="2.1"] .touch').first().click();
  await untilPlaying(page);
  near((await state(page)).beat, wanted.begin, 0.5, 'beat');
  assert.equal((await state(page)).chosen, '2.1');
  await page.keyboard.press('l');
  assert.deepEqual((await state(page)).loop,
    { begin: wanted.begin, end: wanted.end, breath: wanted.breath });
  await page.keyboard.press('Escape');
  assert.equal((await state(page)).loop, null);
  assert.equal((await state(page)).chosen, null);
  await page.close();
});

test('a loop comes back after a beat of breath, and again, each round the same', async () => {
  const { page } = await browser.page('ferry-study');
  const wanted = await block(page, '1.2');
  const loop = { begin: wanted.begin, end: wanted.end, breath: wanted.breath };
  const { round, breath } = await page.evaluate(({ begin, end, breath: beats }) => {
    const { map } = window.arsisPage.player.voices[1];
    return { round: map.secondAt(end) - map.secondAt(begin), breath: map.secondsBefore(end, beats) };
  }, loop);
  const samples = samplesOf(await page.evaluate(playOffline, { seconds: 3 * (round + breath), steps: [
    { at: 0, call: 'setVoice', with: [1] }, { at: 0, call: 'setLoop', with: [loop] },
    { at: 0, call: 'play', with: [loop.begin] }] }));
  const rate = 24000;
  const start = 0.05;  // what a wish takes, and the rise before the first note
  const period = Math.round((round + breath) * rate);
  let apart = 0;
  let most = 0;
  for (let i = Math.round((start + 0.02) * rate); i < (start + round - 0.1) * rate; ++i) {
    // The rounds may begin a frame or so apart.
    apart = Math.max(apart, Math.min(...[-2, -1, 0, 1, 2].map((by) => Math.abs(samples[i] - samples[i + period + by]))));
    most = Math.max(most, Math.abs(samples[i]));
  }
  assert.ok(apart < 0.05 * most, `${apart} of ${most}`);
  const silent = levelOf(samples, rate, start + round + 0.01, start + round + breath - 0.02);
  assert.ok(silent < 1e-4, `breath: ${silent}`);
  await page.close();
});

test('the same sound goes on as it was where only the loop is new', async () => {
  const { page } = await browser.page('ferry-study');
  const play = { at: 0, call: 'play', with: [2] };
  const loop = { at: 1.6, call: 'setLoop', with: [{ begin: 0, end: 32, breath: 1 }] };
  const [plain, looped] = [await page.evaluate(playOffline, { seconds: 3, steps: [play] }),
    await page.evaluate(playOffline, { seconds: 3, steps: [play, loop] })].map(samplesOf);
  const most = plain.reduce((found, sample) => Math.max(found, Math.abs(sample)), 0);
  const apart = plain.reduce((found, sample, i) => Math.max(found, Math.abs(sample - looped[i])), 0);
  assert.ok(apart < 0.001 * most, `${apart} of ${most}`);
  await page.close();
});

test('a loop is entered, kept and left while it plays', async () => {
  const { page } = await browser.page('ferry-study');
  const wanted = await block(page, '1.1');
  await page.evaluate((beat) => window.arsisPage.player.play(beat), wanted.begin + 0.5);
  await untilPlaying(page);
  await page.keyboard.press('l');
  assert.equal((await state(page)).chosen, '1.1');
  const length = await page.evaluate(({ begin, end, breath }) => {
    const { map } = window.arsisPage.player.voices[window.arsisPage.player.voice];
    return map.secondAt(end) - map.secondAt(begin) + map.secondsBefore(end, breath);
  }, wanted);
  const beats = [];
  for (let i = 0; i < 1.6 * length / 0.05; ++i) {
    beats.push((await state(page)).beat);
    await page.waitForTimeout(50);
  }
  assert.ok(beats.every((beat) => beat >= wanted.begin - 1e-6 && beat <= wanted.end));
  assert.ok(beats.some((beat, i) => i > 0 && beat < beats[i - 1] - 1), 'it has gone round');
  await page.close();
});

test('the keyboard does all of it', async () => {
  const { page, faults } = await browser.page('lantern-song');
  const { blocks } = await data(page);
  const phrases = blocks.filter(({ level }) => level === 'phrase');
  const named = page.locator('.wide').getByRole('button', { name: 'phrase 1.2, bars 3 to 6, motif 1.2.2 leads', exact: true });
  assert.equal(await named.count(), 1);
  await page.keyboard.press('ArrowRight');
  assert.equal((await state(page)).chosen, phrases[1].name);
  near((await state(page)).beat, phrases[1].begin, 1e-6, 'beat');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowLeft');
  assert.equal((await state(page)).chosen, phrases[1].name);
  await page.keyboard.press('ArrowUp');
  assert.equal((await state(page)).chosen, phrases[1].name.split('.')[0]);
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowDown');
  assert.equal((await state(page)).chosen, `${phrases[0].name}.1`);
  await page.keyboard.press('Enter');
  await untilPlaying(page);
  await page.keyboard.press(' ');
  assert.equal((await state(page)).playing, false);
  await page.keyboard.press('1');
  assert.equal((await state(page)).voice, 0);
  assert.equal(await page.locator('input[name=voice]').first().isChecked(), true);
  await page.keyboard.press('-');
  await page.keyboard.press('-');
  await page.keyboard.press('+');
  near((await state(page)).speed, 0.95, 1e-9, 'speed');
  await page.keyboard.press(' ');
  await untilPlaying(page);
  await page.keyboard.press('l');
  assert.notEqual((await state(page)).loop, null);
  await page.keyboard.press('Escape');
  assert.equal((await state(page)).loop, null);
  // With the keyboard on a voice or a slider space is still for pausing, arrows are for them.
  await page.locator('input[name=voice]').first().focus();
  await page.keyboard.press(' ');
  assert.equal((await state(page)).playing, false);
  await page.keyboard.press('ArrowRight');
  assert.equal((await state(page)).voice, 1);
  assert.equal((await state(page)).chosen, null);
  assert.deepEqual(faults, []);
  await page.close();
});

test('all that can be used is reached with the tab key, and is seen to be', async () => {
  const { page } = await browser.page('lantern-song');
  const reached = [];
  for (let i = 0; i < 12; ++i) {
    await page.keyboard.press('Tab');
    reached.push(await page.evaluate(() => {
      const at = document.activeElement;
      const seen = at.name === 'voice' ? at.nextElementSibling : at;
      const mark = at.matches('[data-block]') ? getComputedStyle(at.querySelector('.touch')).strokeDasharray
        : getComputedStyle(seen).outlineStyle;
      return { what: at.id || at.name || at.dataset.block || at.tagName, mark };
    }));
  }
  const names = reached.map(({ what }) => what);
  for (const what of ['play', 'loop', 'voice', 'speed', 'volume', '1.1', 'SUMMARY']) {
    assert.ok(names.includes(what), `${what} of ${names}`);
  }
  for (const { what, mark } of reached.filter((each) => each.what !== 'BODY')) {
    assert.ok(mark !== 'none' && mark !== '', `${what}: ${mark}`);
  }
  await page.close();
});

test('the piece ends, and begins anew', async () => {
  const { page } = await browser.page('ferry-study');
  await page.evaluate(() => {
    const { player } = window.arsisPage;
    player.setSpeed(1.5);
    return player.play(player.voices[0].map.beatAt(player.voices[0].length - 1.5));
  });
  await untilPlaying(page);
  await page.waitForFunction(() => !window.arsisPage.player.playing, null, { timeout: 8000 });
  near((await state(page)).beat, (await data(page)).begin, 1e-9, 'beat');
  await page.close();
});

test('a browser without the sound says so, and the picture stays', async () => {
  const { page } = await browser.page('mill-round', { prepare: () => {
    AudioContext.prototype.decodeAudioData = () => Promise.reject(new Error('no'));
  } });
  await page.keyboard.press(' ');
  await page.getByRole('status').getByText('cannot play the sound').waitFor();
  assert.equal((await state(page)).playing, false);
  assert.ok(await page.locator('.wide [data-block]').first().isVisible());
  await page.close();
});

test('a hostile title is text and no more', async () => {
  const { page, faults } = await browser.page('hostile');
  await page.waitForTimeout(200);
  const title = await page.title();
  assert.ok(title.startsWith('</script><img'), title);
  assert.equal(await page.locator('img').count(), 0);
  assert.equal(await page.locator('h1').textContent().then((text) => text.startsWith('</script>')), true);
  assert.deepEqual(faults, []);
  await page.close();
});

test('the page lets no other script run', async () => {
  const { page } = await browser.page('lantern-song');
  const ran = await page.evaluate(() => {
    const script = document.createElement('script');
    script.textContent = 'window.taken = true';
    document.body.append(script);
    document.body.insertAdjacentHTML('beforeend', '<img src="data:," onerror="window.taken = true">');
    return new Promise((resolve) => setTimeout(() => resolve(window.taken === true), 200));
  });
  assert.equal(ran, false);
  await page.close();
});

for (const piece of kPieces) {
  for (const width of [390, 1280]) {
    test(`${piece} fits a page ${width} wide, and has no serious fault of access`, async () => {
      for (const dark of [false, true]) {
        const { page } = await browser.page(piece, { width, dark });
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${wide} wide`);
        assert.equal(await page.locator('.systems.narrow').isVisible(), width === 390);
        assert.deepEqual(await browser.accessFaults(page), []);
        await page.close();
      }
    });
  }
}
