// One question as it is seen: what is asked, the choices, and afterwards what was right, the buttons
// to compare with, the picture. Before an answer nothing of it depends on which is right.

// An element with attributes, and what it holds.
function make(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

// A text of the set's: whichever way it is read, what stands around it stays as it is.
const foreign = (text) => make('bdi', {}, text);

class Question {
  // picked(choice): one was chosen; heard(choice): it is to be heard. drawings: the templates of all
  // choices, item after item.
  constructor(drawings, picked, heard) {
    this.drawings = [...drawings];
    this.picked = picked;
    this.heard = heard;
    const get = (id) => document.getElementById(id);
    this.parts = { whole: get('question'), count: get('count'), ask: get('ask'), place: get('place'),
      choices: get('choices'), options: get('options'), answer: get('answer'), verdict: get('verdict'),
      after: get('after'), compare: get('compare'), caption: get('caption'), picture: get('picture'),
      figure: get('picture').closest('figure') };
  }

  // offset: of the item's first drawing.
  show(item, number, count, offset) {
    const { parts } = this;
    this.item = item;
    this.offset = offset;
    this.systems = null;
    parts.whole.hidden = false;
    setText(parts.count, `question ${number} of ${count}`);
    setText(parts.ask, item.ask);
    setText(parts.place, item.place);
    parts.place.hidden = item.place === '';
    this.radios = item.choices.map((_, choice) => make('input',
      { type: 'radio', name: 'choice', value: String(choice), autocomplete: 'off' }));
    this.notes = item.choices.map(() => make('em', {}));
    parts.options.replaceChildren(...item.choices.map(({ label }, choice) => make('label', { class: 'option' },
      this.radios[choice],
      make('span', {}, make('kbd', { 'aria-hidden': 'true' }, String(choice + 1)), foreign(label), this.notes[choice]))));
    this.radios.forEach((radio, choice) => radio.addEventListener('change', () => this.picked(choice)));
    parts.verdict.replaceChildren();
    parts.after.hidden = true;
    parts.compare.replaceChildren();
    parts.picture.replaceChildren();
    setText(parts.caption, '');
  }

  hide() { this.parts.whole.hidden = true; }

  chosen() { return this.radios.findIndex((radio) => radio.checked); }

  choose(choice) {
    this.radios[choice].checked = true;
    this.radios[choice].focus();
    this.picked(choice);
  }

  // No answer can be given, or none any more.
  lock(locked) { for (const radio of this.radios) radio.disabled = locked; }

  // What was right, in words, and everything that one may look at and hear then.
  reveal(choice, right) {
    const { parts, item } = this;
    const labelOf = (index) => foreign(item.choices[index].label);
    this.lock(true);
    this.radios[choice].checked = true;
    setText(this.notes[choice], choice === right ? 'your answer, and right' : 'your answer');
    if (choice !== right) setText(this.notes[right], 'this is what was played');
    parts.verdict.replaceChildren(...(choice === right
      ? [make('strong', {}, 'Right'), ': it was ', labelOf(right), '.']
      : [make('strong', {}, 'Not so'), ': it was ', labelOf(right), ', you answered ', labelOf(choice), '.']));
    this.buttons = item.choices.map(({ label }, index) => {
      const button = make('button', { type: 'button', 'aria-pressed': 'false' }, foreign(label));
      button.addEventListener('click', () => this.heard(index));
      return button;
    });
    parts.compare.replaceChildren(make('span', { class: 'hear' }, 'hear it as'), ...this.buttons);
    parts.after.hidden = false;
    this.right = right;
    this.look(right);
  }

  // Shows a choice as the one that is heard.
  look(choice) {
    const { parts, item, right } = this;
    this.buttons.forEach((button, index) => button.setAttribute('aria-pressed', String(index === choice)));
    parts.caption.replaceChildren(choice === right ? 'what was played: ' : 'for comparison: ',
      foreign(item.choices[choice].label));
    const sets = Object.entries(item.choices[choice].systems).filter(([, systems]) => systems.length > 0);
    parts.figure.hidden = sets.length === 0;
    this.systems = null;
    if (sets.length === 0) return;
    parts.picture.replaceChildren(this.drawings[this.offset + choice].content.cloneNode(true));
    // Where there is one drawing for every width, it is moved to and fro on a narrow page.
    parts.picture.classList.toggle('alone', sets.length === 1);
    for (const systems of parts.picture.querySelectorAll('.systems')) {
      if (!systems.firstElementChild) systems.remove();
      else if (sets.length === 1) this.makeScrollable(systems);
    }
    for (const svg of parts.picture.querySelectorAll('.system > svg')) {
      svg.setAttribute('role', 'img');
      svg.setAttribute('aria-label', parts.caption.textContent);
    }
    this.systems = new Systems(parts.picture, Object.fromEntries(sets));
  }

  makeScrollable(element) {
    element.setAttribute('tabindex', '0');
    element.setAttribute('role', 'group');
    element.setAttribute('aria-label', 'the picture');
  }
}
