// How far a student has come, kept over a reload where the browser lets. It is kept for this window
// only: the next student at the same computer begins anew.

const kLongestName = 80;

class Progress {
  constructor(sum, items) {
    this.name = `arsis-lesson-${sum}`;
    this.items = items;
    this.forget();
    this.load();
  }

  // {student, at, done: [{choice, played, spent, skipped}]}; at: the item that is shown, or one beyond
  // the last for the results; choice: -1 while it is not answered; played: how often it was begun
  // until then; spent: seconds for which it was seen until then; skipped: its sound cannot be played.
  forget() {
    this.student = '';
    this.at = 0;
    this.done = this.items.map(() => ({ choice: -1, played: 0, spent: 0, skipped: false }));
  }

  save() {
    const { student, at, done } = this;
    // A browser may have no store for a file of the disk, or it may be full.
    try {
      sessionStorage.setItem(this.name, JSON.stringify({ student, at, done }));
    } catch { /* then a reload begins anew */ }
  }

  load() {
    try {
      const { student, at, done } = JSON.parse(sessionStorage.getItem(this.name));
      if (!this.isSound(student, at, done)) return;
      this.student = student;
      this.at = at;
      this.done = done.map(({ choice, played, spent, skipped }) => ({ choice, played, spent, skipped }));
    } catch { /* nothing is kept, or it is damaged */ }
  }

  isSound(student, at, done) {
    const isCount = (value, end) => Number.isInteger(value) && value >= 0 && value < end;
    return typeof student === 'string' && student.length <= kLongestName
      && isCount(at, this.items.length + 1) && Array.isArray(done) && done.length === this.items.length
      && done.every(({ choice, played, spent, skipped }, i) => isCount(choice + 1, this.items[i].choices.length + 1)
        && isCount(played, Infinity) && Number.isFinite(spent) && spent >= 0 && typeof skipped === 'boolean');
  }
}
