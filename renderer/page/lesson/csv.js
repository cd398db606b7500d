// What a student has done, as a table for a spreadsheet. Knows nothing of the page.
// Source: RFC 4180.

const kColumns = ['student', 'number', 'question', 'place', 'amount in percent', 'answer', 'right answer',
  'right', 'times played', 'seconds'];

// What begins like a formula gets an apostrophe, or a spreadsheet would reckon it out: the text comes
// from anywhere. The signs of full width count where a spreadsheet takes them for the others.
function csvField(value) {
  let text = String(value);
  if (/^[\s\0]*[=+\-@\uff1d\uff0b\uff0d\uff20]/.test(text) || /^[\t\r\n]/.test(text)) text = `'${text}`;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

// A line for each question; of one that is not answered the right answer is not told.
function csvOf(student, items, answers, done) {
  const rows = items.map((item, i) => {
    const { choice, skipped, played, spent } = done[i];
    const labelOf = (index) => item.choices[index].label;
    const answer = choice < 0 ? ['', '', skipped ? 'not counted' : '']
      : [labelOf(choice), labelOf(answers[i]), choice === answers[i] ? 'yes' : 'no'];
    return [student, i + 1, item.ask, item.place, item.amount, ...answer, played, spent.toFixed(1)];
  });
  return [kColumns, ...rows].map((row) => `${row.map(csvField).join(',')}\r\n`).join('');
}

// Of letters and digits of any script, so that every system takes it.
function csvName(student) {
  const plain = student.normalize('NFC').replace(/[^\p{L}\p{M}\p{N}]+/gu, '-').replace(/^-+|-+$/g, '');
  return `lesson-${[...plain].slice(0, 40).join('') || 'answers'}.csv`;
}
