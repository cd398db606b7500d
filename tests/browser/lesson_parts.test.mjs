// What the lesson page reckons and writes, without a browser.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';

const source = ['marks', 'csv'].map((name) => readFileSync(
  new URL(`../../renderer/page/lesson/${name}.js`, import.meta.url), 'utf8')).join('');
const { Marks, sumOf, answersOf, csvField, csvName } = new Function(
  `${source}; return { Marks, sumOf, answersOf, csvField, csvName };`)();

test('the sum is FNV-1a', () => {
  // Source: the authors' list of test vectors, from memory.
  assert.equal(sumOf(''), 0x811c9dc5);
  assert.equal(sumOf('a'), 0xe40c292c);
  assert.equal(sumOf('foobar'), 0xbf9cf968);
});

test('answers come back as the program hid them', () => {
  // The rows of tests/page/lesson_page_test.cc: sum, item, answer, choices, hidden.
  for (const [sum, item, answer, count, mark] of [['a', 0, 0, 3, 2], ['0123456789abcdef', 7, 1, 4, 1],
    ['cbf29ce484222325', 23, 0, 2, 0], ['cbf29ce484222325', 199, 3, 9, 3]]) {
    const items = Array.from({ length: item + 1 }, () => ({ mark, choices: Array(count).fill({}) }));
    assert.equal(answersOf({ sum, items })[item], answer);
  }
});

const marksOf = (amounts, right) => new Marks(
  amounts.map((amount) => ({ ask: 'What?', amount, choices: [{}, {}] })), amounts.map(() => 0),
  right.map((is) => ({ choice: is === null ? -1 : is ? 0 : 1 })));

test('a few amounts are told one by one, many in three bands', () => {
  const few = marksOf([50, 200, 100, 50], [true, true, false, null]).byAmount();
  assert.deepEqual(few.map(({ name, right, answered, chance }) => [name, right, answered, chance]),
    [['200 %', 1, 1, 0.5], ['100 %', 0, 1, 0.5], ['50 %', 1, 1, 0.5]]);
  const many = marksOf([200, 180, 160, 140, 120, 100, 80, 60], Array(8).fill(true)).byAmount();
  assert.deepEqual(many.map(({ name, right }) => [name, right]),
    [['200 to 160 %', 3], ['140 to 100 %', 3], ['80 to 60 %', 2]]);
});

test('every question is in one band', () => {
  for (let count = 1; count <= 200; ++count) {
    const amounts = Array.from({ length: count }, (_, i) => 200 - 0.5 * i);
    const bands = marksOf(amounts, amounts.map(() => false)).byAmount();
    assert.equal(bands.reduce((sum, { answered }) => sum + answered, 0), count);
    assert.ok(bands.length <= 4);
  }
});

for (const [value, field] of [
  ['motif 1', 'motif 1'], ['', ''], [7, '7'], ['a,b', '"a,b"'], ['say "so"', '"say ""so"""'], ['two\nlines', '"two\nlines"'],
  ['=1+1', '\'=1+1'], ['+1', '\'+1'], ['-1', '\'-1'], ['@x', '\'@x'], [' =1', '\' =1'], ['\t=1', '\'\t=1'],
  ['\r=1', '"\'\r=1"'], ['=a,"b"', '"\'=a,""b"""'], ['\uff1d1', '\'\uff1d1'], ['a=1', 'a=1'], ['\ufeff=1', '\'\ufeff=1'],
]) {
  test(`a field of a table: ${JSON.stringify(value)}`, () => assert.equal(csvField(value), field));
}

for (const [student, name] of [['Ada', 'lesson-Ada.csv'], ['', 'lesson-answers.csv'], ['../../etc/passwd', 'lesson-etc-passwd.csv'],
  ['Zoë Müller', 'lesson-Zoë-Müller.csv'], ['שלום', 'lesson-שלום.csv'], ['con|aux?', 'lesson-con-aux.csv'],
  ['🎹', 'lesson-answers.csv'], ['x'.repeat(300), `lesson-${'x'.repeat(40)}.csv`]]) {
  test(`a file's name for ${JSON.stringify(student.slice(0, 20))}`, () => assert.equal(csvName(student), name));
}
