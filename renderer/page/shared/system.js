// Drawn systems on a page: where their beats stand, and the cursor that goes through them.

class System {
  // drawn: {begin, end, width, ways: [beat, x, beat, x, ...]}, ways rising.
  constructor(element, drawn) {
    this.element = element;
    this.begin = drawn.begin;
    this.end = drawn.end;
    this.width = drawn.width;
    this.beats = drawn.ways.filter((_, i) => i % 2 === 0);
    this.places = drawn.ways.filter((_, i) => i % 2 === 1);
    this.cursor = document.createElement('div');
    this.cursor.className = 'cursor';
    this.cursor.hidden = true;
    element.append(this.cursor);
  }

  // Share of the width at which a beat stands, 0 to 1.
  shareAt(beat) {
    const last = this.beats.length - 1;
    const inside = Math.min(Math.max(beat, this.beats[0]), this.beats[last]);
    return mapped(this.beats, this.places, inside) / this.width;
  }

  beatAt(share) {
    const last = this.places.length - 1;
    const x = Math.min(Math.max(share * this.width, this.places[0]), this.places[last]);
    return mapped(this.places, this.beats, x);
  }

  showCursor(beat) {
    this.cursor.hidden = false;
    this.cursor.style.left = `${(100 * this.shareAt(beat)).toFixed(3)}%`;
  }
}

// The same music drawn for several widths of page, of which one is seen.
class Systems {
  // root: holds one .systems for each width; sets: their systems, by the same class.
  constructor(root, sets) {
    this.sets = Object.entries(sets).map(([name, systems]) => {
      const element = root.querySelector(`.systems.${name}`);
      const elements = element.querySelectorAll('.system');
      return { element, systems: systems.map((drawn, i) => new System(elements[i], drawn)) };
    });
  }

  // The systems of the width of page that is seen.
  shown() {
    const set = this.sets.find(({ element }) => isShown(element)) || this.sets[0];
    return set.systems;
  }

  // Puts the cursor at the beat; the system in which that is.
  showCursor(beat) {
    const systems = this.shown();
    const found = systems.findIndex((system) => beat < system.end);
    const here = systems[found < 0 ? systems.length - 1 : found];
    for (const { systems: all } of this.sets) {
      for (const system of all) {
        if (system === here) system.showCursor(beat);
        else if (!system.cursor.hidden) system.cursor.hidden = true;
      }
    }
    return here;
  }
}

function isShown(element) { return element.getClientRects().length > 0; }
