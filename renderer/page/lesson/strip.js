// All questions in a row, each with how it stands, and the results behind them. The tab key reaches
// the one that is shown, arrows the others.

const kStandings = {
  open: { sign: '', words: 'open' },
  right: { sign: '\u2713', words: 'right' },
  wrong: { sign: '\u2717', words: 'not right' },
  skipped: { sign: '\u2013', words: 'cannot be played' },
};

class Strip {
  // gone(at): the item is to be shown; one beyond the last: the results.
  constructor(count, gone) {
    this.buttons = Array.from({ length: count + 1 }, (_, at) => {
      const button = make('button', { type: 'button', tabindex: '-1' });
      button.addEventListener('click', () => gone(at));
      return button;
    });
    setText(this.buttons[count], 'results');
    const list = document.getElementById('strip');
    list.replaceChildren(...this.buttons.map((button) => make('li', {}, button)));
    list.addEventListener('keydown', (event) => this.key(event));
  }

  key(event) {
    const by = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    const here = this.buttons.indexOf(event.target);
    if (!by || here < 0) return;
    event.preventDefault();
    this.buttons[Math.min(Math.max(here + by, 0), this.buttons.length - 1)].focus();
  }

  // standings: for each item a key of kStandings.
  show(standings, at) {
    standings.forEach((standing, i) => {
      const { sign, words } = kStandings[standing];
      setText(this.buttons[i], `${i + 1}${sign}`);
      this.buttons[i].setAttribute('aria-label', `question ${i + 1}, ${words}`);
      this.buttons[i].dataset.standing = standing;
    });
    this.buttons.forEach((button, i) => {
      button.setAttribute('tabindex', i === at ? '0' : '-1');
      if (i === at) button.setAttribute('aria-current', 'step');
      else button.removeAttribute('aria-current');
    });
  }
}
