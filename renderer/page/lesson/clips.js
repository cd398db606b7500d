// The sounds of the questions that are near: those of the others are let go, so that a set of any
// length fits into a phone.

class Clips {
  // held: the elements with the sounds of all choices, item after item.
  constructor(items, held) {
    let first = 0;
    this.texts = items.map(({ choices }) => {
      const mine = [...held].slice(first, first + choices.length);
      first += choices.length;
      return mine.map((element) => () => element.textContent);
    });
    this.near = new Map();  // item -> Sounds
  }

  of(item) {
    if (!this.near.has(item)) this.near.set(item, new Sounds(this.texts[item]));
    return this.near.get(item);
  }

  // Lets go of all others.
  keep(items) {
    for (const item of [...this.near.keys()]) if (!items.includes(item)) this.near.delete(item);
  }
}
