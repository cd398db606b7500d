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

// As a printed sheet has them: "a", "b", ...
const letterOf = (choice) => String.fromCharCode(97 + choice);

// The choice that a key means, its letter or its number from 1 on; -1: none.
function choiceOf(key) {
  if (/^[1-9]$/.test(key)) return Number(key) - 1;
  return /^[a-i]$/i.test(key) ? key.toLowerCase().charCodeAt(0) - 97 : -1;
}

class Question {
  // picked(choice): one was chosen; heard(choice): it is to be heard. drawings: the templates of all
  // choices, item after item; notes: those of the items.
  constructor(notes, drawings, picked, heard) {
    this.templates = { notes: [...notes], drawings: [...drawings] };
    this.picked = picked;
    this.heard = heard;
    const get = (id) => document.getElementById(id);
    this.parts = { whole: get('question'), count: get('count'), ask: get('ask'), place: get('place'),
      choices: get('choices'), notes: get('notes'), options: get('options'), answer: get('answer'), verdict: get('verdict'),
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
    this.hang(parts.notes, this.templates.notes[number - 1], 'the notes of the passage');
    this.radios = item.choices.map((_, choice) => make('input',
      { type: 'radio', name: 'choice', value: String(choice), autocomplete: 'off' }));
    this.notes = item.choices.map(() => make('em', {}));
    parts.options.replaceChildren(...item.choices.map(({ label }, choice) => make('label', { class: 'option' },
      this.radios[choice],
      make('span', {}, make('kbd', { 'aria-hidden': 'true' }, letterOf(choice)), foreign(label), this.notes[choice]))));
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
      ? [make('strong', {}, 'Right'), ': \u201c', labelOf(right), '\u201d.']
      : [make('strong', {}, 'Not so'), ': it was \u201c', labelOf(right), '\u201d, you answered \u201c',
        labelOf(choice), '\u201d.']));
    this.buttons = item.choices.map(({ label }, index) => {
      const button = make('button', { type: 'button', 'aria-pressed': 'false' }, foreign(label));
      button.addEventListener('click', () => this.heard(index));
      return button;
    });
    parts.compare.replaceChildren(make('span', { class: 'hear' }, 'hear it as'), ...this.buttons);
    parts.after.hidden = false;
    parts.notes.replaceChildren();
    this.right = right;
    this.look(right);
  }

  // Shows a choice as the one that is heard.
  look(choice) {
    const { parts, item, right } = this;
    this.buttons.forEach((button, index) => button.setAttribute('aria-pressed', String(index === choice)));
    parts.caption.replaceChildren(choice === right ? 'what was played: ' : 'for comparison: ',
      foreign(item.choices[choice].label));
    const sets = this.hang(parts.picture, this.templates.drawings[this.offset + choice], parts.caption.textContent);
    parts.figure.hidden = sets.length === 0;
    const { systems } = item.choices[choice];
    this.systems = sets.length === 0 ? null
      : new Systems(parts.picture, Object.fromEntries(sets.map((set) => [set, systems[set]])));
  }

  // Hangs up what a template holds; the names of the sets of systems that it has.
  hang(place, template, label) {
    place.replaceChildren(template.content.cloneNode(true));
    for (const systems of [...place.children]) if (!systems.firstElementChild) systems.remove();
    const sets = [...place.children];
    // Where there is one drawing for every width, it is moved to and fro on a narrow page.
    place.classList.toggle('alone', sets.length === 1);
    if (sets.length === 1) this.makeScrollable(sets[0], label);
    for (const svg of place.querySelectorAll('.system > svg')) {
      svg.setAttribute('role', 'img');
      svg.setAttribute('aria-label', label);
    }
    return ['wide', 'narrow'].filter((set) => sets.some((systems) => systems.classList.contains(set)));
  }

  makeScrollable(element, label) {
    element.setAttribute('tabindex', '0');
    element.setAttribute('role', 'group');
    element.setAttribute('aria-label', label);
  }
}
