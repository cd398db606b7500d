// What is right, and how much of it: of all questions, of a kind, of an amount. Knows nothing of the
// page.

const kMostBands = 4;  // amounts that are told one by one; of more than that three bands are made
const kBands = 3;

// Source: FNV-1a, 32 bits, of a text in ASCII.
function sumOf(text) {
  let sum = 0x811c9dc5;
  for (let i = 0; i < text.length; ++i) sum = Math.imul(sum ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return sum;
}

// For each item the choice that is heard: what hidden_answer() of page/lesson_page.h has hidden.
function answersOf({ sum, items }) {
  return items.map(({ mark, choices }, i) => {
    const back = mark - ((sumOf(`${sum}:${i}`) >>> 16) % choices.length);
    return (back + choices.length) % choices.length;
  });
}

class Marks {
  // done: for each item {choice (-1: not answered), skipped, ...}, looked at anew each time.
  constructor(items, answers, done) {
    this.items = items;
    this.answers = answers;
    this.done = done;
  }

  isAnswered(i) { return this.done[i].choice >= 0; }
  isRight(i) { return this.done[i].choice === this.answers[i]; }

  // Of some items: how many are answered, how many of these rightly, and how many guessing would
  // have got right in the mean.
  of(items) {
    const answered = items.filter((i) => this.isAnswered(i));
    return {
      answered: answered.length,
      right: answered.filter((i) => this.isRight(i)).length,
      chance: answered.reduce((sum, i) => sum + 1 / this.items[i].choices.length, 0),
    };
  }

  all() { return this.of([...this.items.keys()]); }

  // [{name, answered, right, chance}], in the order in which the kinds first come.
  byKind() { return this.grouped((item) => item.ask, (ask) => ask); }

  // From the most to the least of the amount, which is from easy to hard.
  byAmount() {
    const amounts = [...new Set(this.items.map(({ amount }) => amount))].sort((a, b) => b - a);
    const size = amounts.length > kMostBands ? Math.ceil(amounts.length / kBands) : 1;
    const bandOf = (amount) => Math.floor(amounts.indexOf(amount) / size);
    const rows = this.grouped((item) => bandOf(item.amount), (band) => {
      const [most, least] = [amounts[band * size], amounts[Math.min((band + 1) * size, amounts.length) - 1]];
      return most === least ? `${most} %` : `${most} to ${least} %`;
    });
    return rows.sort((a, b) => a.key - b.key);
  }

  grouped(keyOf, nameOf) {
    const groups = new Map();
    this.items.forEach((item, i) => {
      const key = keyOf(item);
      groups.set(key, [...(groups.get(key) || []), i]);
    });
    return [...groups].map(([key, items]) => ({ key, name: nameOf(key), ...this.of(items) }));
  }
}
