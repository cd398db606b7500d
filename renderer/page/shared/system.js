// One drawn system on a page: where its beats stand, and the cursor that goes through it.

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

function isShown(element) { return element.getClientRects().length > 0; }
