// The lesson page: its buttons and keys, tied to a player, to what a student has done, and to what is
// seen of it.

const kNoSound = 'The sound of this question cannot be played here; the question is left out and does not ' +
  'count. If that is so with all of them, this browser cannot play Opus in an Ogg file.';
const kNoChoice = 'This one cannot be played here.';

class Lesson {
  constructor(data) {
    this.items = data.items;
    this.answers = answersOf(data);
    this.progress = new Progress(data.sum, this.items);
    this.seenFrom = null;  // moment since when the question has been in sight and is not counted yet
    this.marks = new Marks(this.items, this.answers, this.progress.done);
    this.voices = this.items.map(({ choices }) => choices.map(({ map, length }) => (
      { map: new TimeMap(map), length })));
    this.clips = new Clips(this.items, document.querySelectorAll('.sound'));
    this.player = new Player([], null, data.sampleRate, () => this.refresh());
    this.find();
    this.listen();
    this.go(this.progress.at, false);
    const draw = () => {
      if (this.question.systems) this.question.systems.showCursor(this.player.beat());
      requestAnimationFrame(draw);
    };
    requestAnimationFrame(draw);
  }

  find() {
    const get = (id) => document.getElementById(id);
    this.controls = { play: get('play'), volume: get('volume'), answer: get('answer'), back: get('back'),
      next: get('next'), student: get('student'), save: get('save'), anew: get('anew'), keep: get('keep'),
      forget: get('forget') };
    this.words = { status: get('status'), score: get('score') };
    this.sure = get('sure');
    this.question = new Question(document.querySelectorAll('template.notes'),
      document.querySelectorAll('template.drawing'), () => this.refresh(), (choice) => this.hear(choice));
    this.results = new Results();
    this.strip = new Strip(this.items.length, (at) => this.go(at));
    this.firsts = this.items.map((_, i) => this.items.slice(0, i).reduce((sum, { choices }) => sum + choices.length, 0));
  }

  listen() {
    const { controls, player, progress } = this;
    const { play, volume, answer, back, next, student, save, anew, keep, forget } = controls;
    const clicks = [[play, () => this.playOrPause()], [answer, () => this.answer()], [back, () => this.step(-1)],
      [next, () => this.step(1)], [save, () => this.save()], [anew, () => this.sure.showModal()],
      [keep, () => this.sure.close()], [forget, () => this.startOver()]];
    for (const [button, done] of clicks) button.addEventListener('click', done);
    const setVolume = () => player.setVolume((Number(volume.value) / 100) ** 2);
    volume.addEventListener('input', setVolume);
    setVolume();
    student.addEventListener('input', () => {
      progress.student = student.value;
      progress.save();
    });
    addEventListener('keydown', (event) => this.key(event));
    document.addEventListener('visibilitychange', () => this.countSeconds());
    addEventListener('pagehide', () => this.countSeconds());
  }

  get at() { return this.progress.at; }
  isAsking() { return this.at < this.items.length; }
  done() { return this.progress.done[this.at]; }
  isAnswered() { return this.isAsking() && this.marks.isAnswered(this.at); }

  // The seconds for which the question has been seen, until it is answered.
  countSeconds() {
    const now = performance.now();
    if (this.seenFrom !== null && this.isAsking() && !this.isAnswered()) this.done().spent += (now - this.seenFrom) / 1000;
    this.seenFrom = document.hidden ? null : now;
    this.progress.save();
  }

  // To another question, or to the results behind the last.
  go(at, focus = true) {
    this.countSeconds();
    this.progress.at = at;
    this.progress.save();
    if (this.isAsking()) this.ask();
    else this.tell();
    this.refresh();
    if (focus) document.getElementById(this.isAsking() ? 'ask' : 'sum').focus();
  }

  step(by) {
    const at = this.at + by;
    if (at >= 0 && at <= this.items.length) this.go(at);
  }

  ask() {
    const { at, items, answers } = this;
    this.results.hide();
    this.clips.keep([at, at + 1]);
    this.question.show(items[at], at + 1, items.length, this.firsts[at]);
    if (this.isAnswered()) this.question.reveal(this.done().choice, answers[at]);
    else this.question.lock(this.done().skipped);
    this.player.turnTo(this.voices[at], this.clips.of(at), answers[at], items[at].begin);
  }

  tell() {
    this.player.pause();
    this.question.hide();
    this.question.systems = null;
    this.controls.student.value = this.progress.student;
    this.results.show(this.marks, this.progress.done);
  }

  playOrPause() {
    const { player } = this;
    if (!this.isAsking()) return;
    if (player.playing) return player.pause();
    if (player.place === player.first && !this.isAnswered()) ++this.done().played;
    player.play();
    this.progress.save();
  }

  // Of an answered question a choice, at the place at which the other one is.
  hear(choice) {
    const { player } = this;
    this.question.look(choice);
    const changed = player.setVoice(choice);
    return player.playing ? changed : player.play();
  }

  answer() {
    const choice = this.question.chosen();
    if (choice < 0 || !this.isAsking() || this.isAnswered() || this.done().skipped) return;
    this.countSeconds();
    this.done().choice = choice;
    this.progress.save();
    this.question.reveal(choice, this.answers[this.at]);
    this.refresh();
    this.controls.next.focus();
  }

  startOver() {
    this.sure.close();
    this.progress.forget();
    this.marks.done = this.progress.done;
    this.seenFrom = null;
    this.go(0);
  }

  save() {
    const { student, done } = this.progress;
    // The mark in front tells spreadsheets that it is UTF-8.
    const text = `\ufeff${csvOf(student, this.items, this.answers, done)}`;
    const url = URL.createObjectURL(new Blob([text], { type: 'text/csv;charset=utf-8' }));
    make('a', { href: url, download: csvName(student) }).click();
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey || this.sure.open) return;
    const { target } = event;
    if (target.matches('input:not([type=radio], [type=range])')) return;
    const isButton = target.closest('button, summary') !== null;
    const wanted = choiceOf(event.key);
    const choices = this.isAsking() ? this.items[this.at].choices.length : 0;
    let done = true;
    if (event.key === 'Enter' && event.repeat) done = true;  // one press, one step
    else if (event.key === ' ' && !isButton && !(target.type === 'radio' && !target.checked)) this.playOrPause();
    else if (event.key === 'Enter' && !isButton) this.enter();
    else if (wanted >= 0 && wanted < choices) this.pick(wanted);
    else if (event.key === 'n' || event.key === 'N') this.step(1);
    else if (event.key === 'p' || event.key === 'P') this.step(-1);
    else done = false;
    if (done) event.preventDefault();
  }

  enter() {
    if (this.isAnswered()) this.step(1);
    else this.answer();
  }

  pick(choice) {
    if (this.isAnswered()) this.hear(choice);
    else if (!this.done().skipped) this.question.choose(choice);
  }

  // Brings all words up to date.
  refresh() {
    const { player } = this;
    this.leaveOutOrIn();
    this.readAhead();
    const { done } = this.progress;
    const standingOf = (i) => (this.marks.isAnswered(i) ? (this.marks.isRight(i) ? 'right' : 'wrong')
      : done[i].skipped ? 'skipped' : 'open');
    this.strip.show(done.map((_, i) => standingOf(i)), this.at);
    const { answered, right, chance } = this.marks.all();
    this.words.score.hidden = !this.isAsking();
    setText(this.words.score, answered === 0 ? ''
      : `so far ${right} of ${answered} right; guessing gets ${mean(chance)} in the mean`);
    this.sayWhatPlays(player);
    this.offerSteps();
  }

  // A question whose sound cannot be played does not count, unless it is answered.
  leaveOutOrIn() {
    const { player } = this;
    if (!this.isAsking() || this.isAnswered()) return;
    if (player.failure) this.done().skipped = true;
    else if (player.playing && !player.waiting && player.strand) this.done().skipped = false;
    else return;
    this.question.lock(this.done().skipped);
    this.progress.save();
  }

  // What the next question begins with is decoded while this one sounds.
  readAhead() {
    const { player, at } = this;
    if (!player.playing || !player.strand || at + 1 >= this.items.length) return;
    this.clips.of(at + 1).get(player.context, this.answers[at + 1]).catch(() => {});
  }

  sayWhatPlays({ playing, waiting, failure, place, first }) {
    const { status } = this.words;
    const { play } = this.controls;
    const idle = place !== first ? 'go on' : this.isAsking() && this.done().played > 0 ? 'play again' : 'play';
    setText(play, playing ? 'pause' : idle);
    play.disabled = !this.isAsking();
    const left = this.isAsking() && !this.isAnswered() && this.done().skipped;
    let said = '';
    if (failure || left) said = left ? `${kNoSound} ${kWhoCanPlay}` : kNoChoice;
    else if (playing && waiting) said = 'making the sound ready';
    setText(status, said);
    status.classList.toggle('seen', Boolean(failure || left));
    document.body.classList.toggle('waiting', playing && waiting);
  }

  offerSteps() {
    const { answer, back, next } = this.controls;
    if (!this.isAsking()) return;
    const isOver = this.isAnswered() || this.done().skipped;
    const where = this.at === this.items.length - 1 ? 'to the results' : 'next question';
    answer.hidden = isOver;
    answer.disabled = this.question.chosen() < 0;
    back.hidden = this.at === 0;
    setText(next, isOver ? where : `leave it open, ${where}`);
  }
}

function begin() {
  const data = JSON.parse(document.getElementById('data').textContent);
  const isEmpty = data.items.length === 0;
  for (const part of document.querySelectorAll('.desk, .caution, nav, footer')) part.hidden = isEmpty;
  if (isEmpty) return;
  if (!window.AudioContext) {
    const status = document.getElementById('status');
    status.textContent = `This browser cannot play the sound inside this page. ${kWhoCanPlay}`;
    status.classList.add('seen');
    return;
  }
  window.arsisLesson = new Lesson(data);
}

begin();
