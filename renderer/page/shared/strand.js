// One way through a sound, scheduled ahead on the frames of the audio clock: from a moment on, once
// or round after round, at a speed. Whatever changes (voice, speed, place) is a new strand, and the
// old one fades while the new one rises.

const kChunk = 0.5;      // seconds of stretched sound at a time
const kEdgeIn = 0.01;    // seconds of fade where a round begins, before its first note
const kEdgeOut = 0.05;   // seconds of fade where a round ends
const kFadeSteps = 33;   // points of a curve between two strands

class Strand {
  // path: {buffer, speed, begin, from, until, breath, loops} in seconds of the sound: the first round
  // goes from `begin`, the others from `from`, all to `until`; `breath` lies between two rounds (in
  // seconds that are heard). start: the frame of the audio clock to begin with.
  constructor(context, output, path, start) {
    this.context = context;
    this.path = path;
    this.start = start;
    this.rate = context.sampleRate;
    this.rising = new GainNode(context);
    this.falling = new GainNode(context);
    this.rising.connect(this.falling).connect(output);
    this.rounds = [];  // {start, frames, from}: the first has begun, others follow
    this.pieces = [];  // {start, source}
    this.addRound(start, path.begin);
  }

  addRound(start, from) {
    from = Math.round(from * this.rate) / this.rate;  // between two frames it would be duller
    const seconds = Math.max(0, this.path.until - from);
    const frames = Math.max(1, Math.round((seconds / this.path.speed) * this.rate));
    const round = { start, from, frames, done: 0 };
    round.edges = this.edgesOf(round);
    if (this.path.speed !== 1) {
      const channels = [];
      for (let c = 0; c < this.path.buffer.numberOfChannels; ++c) {
        channels.push(this.path.buffer.getChannelData(c));
      }
      round.stretch = new Stretch(channels, this.rate, this.path.speed, from * this.rate);
    }
    this.rounds.push(round);
  }

  // Rounds begin and end without a click; the first begins under the strand's own rise.
  edgesOf(round) {
    const gain = new GainNode(this.context);
    gain.connect(this.rising);
    if (!this.path.loops) return gain;
    const at = (frame) => frame / this.rate;
    const end = round.start + round.frames;
    if (this.rounds.length > 0) {
      gain.gain.setValueAtTime(0, at(round.start));
      gain.gain.linearRampToValueAtTime(1, at(round.start) + kEdgeIn);
    }
    const fade = Math.min(kEdgeOut, (0.5 * round.frames) / this.rate);
    gain.gain.setValueAtTime(1, at(end) - fade);
    gain.gain.linearRampToValueAtTime(0, at(end));
    return gain;
  }

  // Sees to it that all is scheduled up to that frame.
  extend(frame) {
    for (;;) {
      const round = this.rounds[this.rounds.length - 1];
      while (round.done < round.frames && round.start + round.done < frame) this.addPiece(round);
      const next = round.start + round.frames + Math.round(this.path.breath * this.rate);
      if (!this.path.loops || round.done < round.frames || next >= frame) break;
      this.addRound(next, this.path.from);
    }
    // The sounding round and those to come are enough to know where the music is.
    const now = this.context.currentTime * this.rate - this.rate;
    while (this.rounds.length > 2 && this.rounds[1].start < now) this.rounds.shift();
  }

  addPiece(round) {
    const source = new AudioBufferSourceNode(this.context);
    source.connect(round.edges);
    const start = round.start + round.done;
    const when = start / this.rate;
    if (round.stretch) {
      const size = Math.min(round.frames - round.done, Math.round(kChunk * this.rate));
      const made = round.stretch.next(size);
      source.buffer = new AudioBuffer(
        { length: size, numberOfChannels: made.length, sampleRate: this.rate });
      made.forEach((samples, c) => source.buffer.copyToChannel(samples, c));
      source.start(when);
      round.done += size;
    } else {
      source.buffer = this.path.buffer;
      source.start(when, round.from, round.frames / this.rate);
      round.done = round.frames;
    }
    const piece = { start, source, offset: round.stretch ? 0 : Math.round(round.from * this.rate) };
    this.pieces.push(piece);
    source.onended = () => {
      source.disconnect();
      this.pieces = this.pieces.filter((each) => each !== piece);
    };
  }

  // Second of the sound at a frame of the audio clock.
  secondAt(frame) {
    let round = this.rounds[0];
    for (const each of this.rounds) if (each.start <= frame) round = each;
    const heard = ((frame - round.start) / this.rate) * this.path.speed;
    return Math.min(round.from + Math.max(0, heard), this.path.until);
  }

  isOver(frame) {
    const round = this.rounds[this.rounds.length - 1];
    return !this.path.loops && frame >= round.start + round.frames;
  }

  // What it plays at these frames, in the middle between left and right; as far as it is scheduled.
  peek(frame, count) {
    const samples = new Float32Array(count);
    for (const { start, source, offset } of this.pieces) {
      const buffer = source.buffer;
      for (let c = 0; c < buffer.numberOfChannels; ++c) {
        const channel = buffer.getChannelData(c);
        for (let i = Math.max(0, start - frame); i < count; ++i) {
          samples[i] += (channel[offset + frame + i - start] || 0) / buffer.numberOfChannels;
        }
      }
    }
    return samples;
  }

  riseAt(frame, curve) {
    this.rising.gain.setValueAtTime(0, this.context.currentTime);
    this.rising.gain.setValueCurveAtTime(curve.values, frame / this.rate, curve.seconds);
  }

  // Falls silent and is then of no more use.
  fallAt(frame, curve) {
    const when = frame / this.rate;
    this.falling.gain.setValueCurveAtTime(curve.values, when, curve.seconds);
    for (const { source } of this.pieces) source.stop(when + curve.seconds + 0.005);
    setTimeout(() => this.falling.disconnect(), 1000 * (curve.seconds + 1));
  }
}

// The curves with which one strand follows another so that the power goes straight from that of the
// one to that of the other, whether they are alike (the same place of the same notes) or not: sine
// and cosine, made smaller by what alike sounds would add up to. Either strand may be missing.
function fadesBetween(old, fresh, frame, seconds) {
  const power = { old: 1, fresh: 1, both: 0 };
  if (old && fresh) {
    const count = Math.round(seconds * fresh.rate);
    const a = old.peek(frame, count);
    const b = fresh.peek(frame, count);
    power.old = power.fresh = 1e-12;
    for (let i = 0; i < count; ++i) {
      power.old += a[i] * a[i];
      power.fresh += b[i] * b[i];
      power.both += a[i] * b[i];
    }
  }
  const fall = new Float32Array(kFadeSteps);
  const rise = new Float32Array(kFadeSteps);
  for (let i = 0; i < kFadeSteps; ++i) {
    const angle = (0.5 * Math.PI * i) / (kFadeSteps - 1);
    const [sine, cosine] = [Math.sin(angle), Math.cos(angle)];
    const wanted = power.old * cosine * cosine + power.fresh * sine * sine;
    const alike = Math.max(0, 2 * power.both * sine * cosine);
    const less = Math.sqrt(wanted / (wanted + alike));
    fall[i] = less * cosine;
    rise[i] = less * sine;
  }
  return { fall: { values: fall, seconds }, rise: { values: rise, seconds } };
}
