// How the lesson page looks and is read: it gives nothing away, fits, can be reached, and takes texts for
// texts.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { Browser } from './browser.mjs';
import { answer, button, savedTable, text, untilPlaying } from './lesson_tools.mjs';

let browser;
before(async () => { browser = await Browser.open(); });
after(() => browser.close());

// All that a set with other answers could differ in before an answer: every element with all
// attributes, texts and its place on the screen, and the screen itself.
async function lookOf(page) {
  await page.mouse.move(0, 0);
  return { screen: (await page.screenshot({ animations: 'disabled' })).toString('base64'),
    all: await page.evaluate(() => {
      const copy = document.documentElement.cloneNode(true);
      copy.querySelector('#data').remove();
      const boxes = [...document.querySelectorAll('body *')].map((element) => {
        const { x, y, width, height } = element.getBoundingClientRect();
        return `${element.tagName} ${x} ${y} ${width} ${height}`;
      });
      return { html: copy.outerHTML, boxes, title: document.title };
    }) };
}

test('nothing that can be seen or read tells an answer before it is given', async () => {
  const looks = [];
  for (const name of ['questions', 'answered-otherwise']) {
    const { page } = await browser.page(name);
    const seen = [];
    for (let item = 0; item < 5; ++item) {
      seen.push(await lookOf(page));
      await page.keyboard.press('1');
      await page.keyboard.press(' ');
      await untilPlaying(page);
      await page.waitForFunction(() => window.arsisLesson.player.sounds.sizes.size === window.arsisLesson.voices[window.arsisLesson.at].length);
      seen.push(await lookOf(page));
      await page.keyboard.press('n');
    }
    looks.push(seen);
    await page.close();
  }
  looks[0].forEach((look, i) => {
    assert.deepEqual(look.all, looks[1][i].all, `step ${i}`);
    assert.ok(look.screen === looks[1][i].screen, `screen at step ${i}`);
  });
});

test('a single drawing is moved sideways on a phone, and the page is not', async () => {
  const { page } = await browser.page('single-lesson', { width: 390 });
  assert.equal(await page.locator('#back').isVisible(), false);
  await answer(page, 0);
  const drawing = page.locator('#picture .systems');
  const { scroll, seen } = await drawing.evaluate((element) => ({ scroll: element.scrollWidth, seen: element.clientWidth }));
  assert.ok(scroll > seen, `${scroll} in ${seen}`);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 390);
  assert.deepEqual(await browser.accessFaults(page), []);
  await button(page, 'to the results').click();
  assert.equal(await text(page, 'sum'), '1 of 1 right');
  await page.close();
});

test('hostile texts are texts and no more', async () => {
  const { page, faults } = await browser.page('hostile-lesson', { width: 390 });
  const fits = async () => assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 390);
  assert.ok((await page.title()).startsWith('</script><img'));
  await fits();
  await page.keyboard.press('1');
  await page.keyboard.press('Enter');
  await fits();
  assert.ok((await text(page, 'verdict')).startsWith('Not so: it was “</script><img'));
  await page.keyboard.press('n');
  await page.keyboard.press('2');
  await page.keyboard.press('Enter');
  await page.keyboard.press('n');
  await fits();
  assert.equal(await page.locator('img').count(), 0);
  const { rows } = await savedTable(page);
  assert.deepEqual([rows[1][3], rows[1][5]], ['\'=1+1,"quoted"\nand on another line', '\'@SUM(1)']);
  assert.ok(rows[1][6].startsWith('</script><img src=x onerror="document.title=\'taken\'">'));
  assert.equal(rows[2][6], '\'-flat\ufffd');
  assert.equal(await page.title() === 'taken', false);
  assert.deepEqual(faults, []);
  await page.close();
});

test('all that can be used is reached with the tab key, and is seen to be', async () => {
  const { page } = await browser.page('questions');
  const reached = async (count) => {
    const found = [];
    for (let i = 0; i < count; ++i) {
      await page.keyboard.press('Tab');
      found.push(await page.evaluate(() => {
        const at = document.activeElement;
        const seen = at.type === 'radio' ? at.closest('.option') : at;
        return { what: at.id || at.name || at.closest('body [id]')?.id || at.tagName,
          mark: getComputedStyle(seen).outlineStyle };
      }));
    }
    for (const { what, mark } of found.filter((each) => each.what !== 'BODY' && each.what !== 'HTML')) {
      assert.ok(mark !== 'none' && mark !== '', `${what}: ${mark}`);
    }
    return found.map(({ what }) => what);
  };
  await page.keyboard.press('1');
  await page.evaluate(() => document.activeElement.blur());
  const asking = await reached(9);
  for (const what of ['play', 'volume', 'strip', 'choice', 'answer', 'next', 'SUMMARY']) {
    assert.ok(asking.includes(what), `${what} of ${asking}`);
  }
  assert.equal(asking.filter((what) => what === 'strip').length, 1);
  await page.keyboard.press('Enter');
  await page.evaluate(() => window.arsisLesson.answer());
  const comparing = await reached(4);
  assert.equal(comparing.filter((what) => what === 'compare').length, 3, `${comparing}`);
  await page.close();
});

test('the page lets no other script run', async () => {
  const { page } = await browser.page('questions');
  const ran = await page.evaluate(() => {
    const script = document.createElement('script');
    script.textContent = 'window.taken = true';
    document.body.append(script);
    return new Promise((resolve) => setTimeout(() => resolve(window.taken === true), 100));
  });
  assert.equal(ran, false);
  await page.close();
});

for (const width of [390, 1280]) {
  for (const dark of [false, true]) {
    test(`a page ${width} wide, ${dark ? 'dark' : 'light'}, is filled and has no serious fault of access`, async () => {
      const { page, faults } = await browser.page('questions', { width, dark });
      const check = async (when) => {
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${when}: ${wide} wide`);
        assert.deepEqual(await browser.accessFaults(page), [], when);
      };
      await check('asking');
      await answer(page, 0, true);
      await check('answered');
      await button(page, 'results').click();
      await check('results');
      await button(page, 'start over').click();
      await check('sure');
      assert.deepEqual(faults, []);
      await page.close();
    });
  }
}
