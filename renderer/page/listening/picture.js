// The blocks of the drawn systems, which can be chosen, and the place under a click.

class Picture extends Systems {
  // root: holds one .systems for each width of page; sets: their systems, by the same class;
  // blocks: [{name, level, begin, end, label}]; chosen(block) and placed(beat): what a click or
  // Enter means.
  constructor(root, sets, blocks, chosen, placed) {
    super(root, sets);
    this.blocks = new Map(blocks.map((block) => [block.name, block]));
    this.shapes = [...root.querySelectorAll('[data-block]')].filter(
      (shape) => this.blocks.has(shape.dataset.block));
    for (const shape of this.shapes) this.makeButton(shape);
    root.addEventListener('click', (event) => this.click(event, chosen, placed));
    root.addEventListener('keydown', (event) => {
      const shape = event.target.closest('[data-block]');
      if (event.key === 'Enter' && shape) chosen(this.blocks.get(shape.dataset.block));
    });
    for (const kind of ['wheel', 'touchmove']) {
      addEventListener(kind, () => { this.leftAlone = performance.now() + 4000; }, { passive: true });
    }
    this.leftAlone = 0;  // until then nothing scrolls by itself: the reader is looking elsewhere
    this.offerFirst();
  }

  makeButton(shape) {
    shape.setAttribute('role', 'button');
    shape.setAttribute('tabindex', '-1');
    shape.setAttribute('aria-label', this.blocks.get(shape.dataset.block).label);
    shape.setAttribute('aria-pressed', 'false');
  }

  // With the tab key one block is reached, the chosen one or the first; arrows lead to the others.
  offerFirst() {
    for (const { element } of this.sets) {
      const shapes = [...element.querySelectorAll('[role=button]')];
      const first = shapes.find((shape) => shape.classList.contains('phrase')) || shapes[0];
      if (first) first.setAttribute('tabindex', '0');
    }
  }

  click(event, chosen, placed) {
    const shape = event.target.closest('[data-block]');
    if (shape) return chosen(this.blocks.get(shape.dataset.block));
    const element = event.target.closest('.system');
    if (!element) return;
    const system = this.shown().find((each) => each.element === element);
    const box = element.getBoundingClientRect();
    placed(system.beatAt((event.clientX - box.left) / box.width));
  }

  // Marks the block as the chosen one; null: none is. Puts the keyboard there where it was among the
  // blocks before, or `focus` says so.
  choose(block, focus) {
    const had = document.activeElement && document.activeElement.closest('[data-block]');
    for (const shape of this.shapes) {
      const is = block !== null && shape.dataset.block === block.name;
      shape.classList.toggle('chosen', is);
      shape.setAttribute('aria-pressed', String(is));
      shape.setAttribute('tabindex', is ? '0' : '-1');
    }
    if (block === null) return this.offerFirst();
    const shape = this.shapes.find((each) => each.dataset.block === block.name && isShown(each));
    if (shape && (had || focus)) shape.focus({ preventScroll: true });
  }

  // Puts the cursor at the beat, and scrolls where `follows` and its system is out of view.
  show(beat, follows) {
    const here = this.showCursor(beat);
    if (follows && here !== this.here) this.bringIntoView(here.element);
    this.here = here;
  }

  bringIntoView(element) {
    if (performance.now() < this.leftAlone) return;
    const box = element.getBoundingClientRect();
    const top = document.querySelector('.desk').getBoundingClientRect().bottom;
    if (box.top >= top && box.bottom <= innerHeight) return;
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    element.scrollIntoView({ block: 'center', behavior: still ? 'auto' : 'smooth' });
  }
}
