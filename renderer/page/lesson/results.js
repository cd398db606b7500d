// The results: how many were right, of which kind and at which amount, beside what guessing would
// have got.

const kNoAnswers = 'No question is answered yet.';

const mean = (chance) => chance.toFixed(1);

class Results {
  constructor() {
    const get = (id) => document.getElementById(id);
    this.parts = { whole: get('results'), sum: get('sum'), chance: get('by-chance'), tables: get('tables'),
      student: get('student') };
  }

  hide() { this.parts.whole.hidden = true; }

  show(marks, done) {
    const { parts } = this;
    const { answered, right, chance } = marks.all();
    const skipped = done.filter((each) => each.choice < 0 && each.skipped).length;
    const open = done.length - answered - skipped;
    parts.whole.hidden = false;
    setText(parts.sum, answered === 0 ? kNoAnswers : `${right} of ${answered} right`);
    const words = answered === 0 ? [] : [`Guessing would have got ${mean(chance)} in the mean.`];
    if (open > 0) words.push(`${open} ${open === 1 ? 'question is' : 'questions are'} still open.`);
    if (skipped > 0) words.push(`${skipped} could not be played and ${skipped === 1 ? 'does' : 'do'} not count.`);
    setText(parts.chance, words.join(' '));
    parts.tables.replaceChildren(this.table('by kind of question', 'question', marks.byKind()),
      this.table('by amount of shaping: the less, the harder to hear', 'amount', marks.byAmount()));
  }

  table(caption, first, rows) {
    const head = [first, 'right', 'answered', 'by guessing'].map((name) => make('th', { scope: 'col' }, name));
    return make('table', {}, make('caption', {}, caption), make('thead', {}, make('tr', {}, ...head)),
      make('tbody', {}, ...rows.map(({ name, right, answered, chance }) => make('tr', {},
        make('th', { scope: 'row' }, foreign(name)),
        ...[right, answered, mean(chance)].map((value) => make('td', {}, String(value)))))));
  }
}
