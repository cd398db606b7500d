// Slower and faster at the same pitch: pieces of the sound overlap anew at another distance, each
// moved a little to where it goes on best from the one before.
// Source: Verhelst & Roelands 1993, WSOLA (from memory).

const kStretchHop = 0.025;     // seconds from one piece to the next; a piece is twice as long
const kStretchSearch = 0.012;  // seconds that a piece may be moved to either side: from 42 Hz up one
                               // period lies within

class Stretch {
  // channels: Float32Arrays of one length; speed: 1 is as recorded; from: the frame to begin with.
  constructor(channels, sampleRate, speed, from) {
    this.channels = channels;
    this.hop = Math.round(kStretchHop * sampleRate);
    this.search = Math.round(kStretchSearch * sampleRate);
    this.speed = speed;
    this.from = from;
    this.piece = 0;                                // number of the next
    this.last = Math.round(from) - this.hop;       // where the piece before begins
    this.ready = channels.map(() => new Float32Array(0));  // made, but not handed out
    this.rise = new Float32Array(this.hop);
    for (let i = 0; i < this.hop; ++i) {
      this.rise[i] = 0.5 - 0.5 * Math.cos((Math.PI * (i + 0.5)) / this.hop);
    }
  }

  // The next frames, as many as asked for: one array for each channel. Beyond the ends there is
  // silence.
  next(count) {
    const out = this.channels.map(() => new Float32Array(count));
    let filled = 0;
    while (filled < count) {
      if (this.ready[0].length === 0) this.makePiece();
      const size = Math.min(count - filled, this.ready[0].length);
      out.forEach((samples, c) => samples.set(this.ready[c].subarray(0, size), filled));
      this.ready = this.ready.map((samples) => samples.subarray(size));
      filled += size;
    }
    return out;
  }

  makePiece() {
    const goesOn = this.last + this.hop;  // what would follow of itself
    // The middle of a piece, where it is heard alone, comes when it should.
    const wanted = Math.round(this.from + (this.piece + 1) * this.hop * this.speed - this.hop);
    const at = this.piece === 0 ? goesOn : this.bestNear(wanted, goesOn);
    this.ready = this.channels.map((samples) => {
      const made = new Float32Array(this.hop);
      for (let i = 0; i < this.hop; ++i) {
        const before = samples[goesOn + i] || 0;
        made[i] = before + this.rise[i] * ((samples[at + i] || 0) - before);
      }
      return made;
    });
    this.last = at;
    ++this.piece;
  }

  // Where near `wanted` the sound is most like that from `goesOn` on: first in steps of four, then
  // between them.
  bestNear(wanted, goesOn) {
    const coarse = this.best(wanted - this.search, wanted + this.search, 4, goesOn);
    return this.best(coarse - 3, coarse + 3, 1, goesOn);
  }

  best(first, last, step, goesOn) {
    let best = first;
    let most = -Infinity;
    for (let at = first; at <= last; at += step) {
      const likeness = this.likeness(at, goesOn, step);
      if (likeness > most) [best, most] = [at, likeness];
    }
    return best;
  }

  likeness(at, goesOn, step) {
    const left = this.channels[0];
    const right = this.channels[this.channels.length - 1];
    let product = 0;
    let energy = 1e-9;
    for (let i = 0; i < this.hop; i += step) {
      const here = (left[at + i] || 0) + (right[at + i] || 0);
      product += here * ((left[goesOn + i] || 0) + (right[goesOn + i] || 0));
      energy += here * here;
    }
    return product / Math.sqrt(energy);
  }
}
