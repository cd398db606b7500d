// A performance's own time: seconds of its sound to beats of the score and back, in straight
// stretches. The same as score/time_map.h.

// The last index whose value is at most `value`, so that one more stretch follows it; values rise.
function stretchOf(values, value) {
  let low = 0;
  let high = values.length - 2;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (values[middle] <= value) low = middle;
    else high = middle - 1;
  }
  return low;
}

// `to` at `value` of `from`, both rising; beyond the ends the outer stretches go on.
function mapped(from, to, value) {
  const i = stretchOf(from, value);
  return to[i] + ((to[i + 1] - to[i]) * (value - from[i])) / (from[i + 1] - from[i]);
}

class TimeMap {
  // knots: [second, beat, second, beat, ...], two knots at least.
  constructor(knots) {
    this.seconds = knots.filter((_, i) => i % 2 === 0);
    this.beats = knots.filter((_, i) => i % 2 === 1);
  }
  secondAt(beat) { return Math.max(0, mapped(this.beats, this.seconds, beat)); }
  beatAt(second) { return mapped(this.seconds, this.beats, second); }
  // How many seconds a stretch of `beats` lasts that ends at `beat`.
  secondsBefore(beat, beats) { return this.secondAt(beat) - this.secondAt(beat - beats); }
}
