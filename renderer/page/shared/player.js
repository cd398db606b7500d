// Plays one of several voices of the same music, keeping the place in the score when it changes
// from one to another. Knows nothing of the page.

const kAhead = 2.5;     // seconds that are scheduled ahead: timers of a hidden page come once a second
const kAtOnce = 0.75;   // seconds of that which are made at once; the next tick sees to the others
const kSoon = 0.04;     // seconds from a wish to what is heard of it
const kCrossFade = 0.03;
const kStopFade = 0.06;
const kTick = 250;      // milliseconds between two looks at what is to be scheduled
const kIdle = 2000;     // milliseconds after which a silent audio device is let go

class Player {
  // voices: [{map: TimeMap, length}], `length` in seconds; sounds: Sounds, one for each voice;
  // changed: called when what the player does has changed.
  constructor(voices, sounds, sampleRate, changed) {
    this.voices = voices;
    this.sounds = sounds;
    this.sampleRate = sampleRate;
    this.changed = changed;
    this.voice = 0;
    this.speed = 1;
    this.volume = 1;
    this.loop = null;   // {begin, end, breath} in beats
    this.place = 0;     // beat, while nothing plays
    this.first = 0;     // beat to go back to at the end
    this.playing = false;
    this.waiting = false;  // for a sound to be decoded
    this.failure = null;   // what keeps it from playing
    this.strand = null;
    this.before = null;  // the strand that is fading
    this.wish = 0;      // counts what was asked for, so that only the last is done
  }

  open() {
    if (this.context) return;
    this.context = new AudioContext({ sampleRate: this.sampleRate, latencyHint: 'interactive' });
    this.output = new GainNode(this.context, { gain: this.volume });
    this.output.connect(this.context.destination);
    this.timer = setInterval(() => this.tick(), kTick);
  }

  // From a beat on; without one from where it is.
  play(beat = this.place) {
    this.playing = true;
    this.place = beat;
    return this.start(() => beat, true);
  }

  pause() {
    this.place = this.beat();
    this.stop();
    this.changed();
  }

  // Other voices, of other music; what plays falls silent. `first` is where that begins.
  turnTo(voices, sounds, voice, first) {
    if (this.playing) this.stop();
    Object.assign(this, { voices, sounds, voice, first, place: first, failure: null });
    this.changed();
  }

  seek(beat) {
    if (this.playing) return this.play(beat);
    this.place = beat;
    this.changed();
    return Promise.resolve();
  }

  setVoice(voice) { return this.goOn(() => { this.voice = voice; }); }
  setSpeed(speed) { return this.goOn(() => { this.speed = speed; }); }
  setLoop(loop) { return this.goOn(() => { this.loop = loop; }); }

  setVolume(volume) {
    this.volume = volume;
    if (this.output) this.output.gain.setTargetAtTime(volume, this.context.currentTime, 0.02);
  }

  // The beat that is heard now.
  beat() { return this.playing && this.strand ? this.beatAtFrame(this.heardFrame()) : this.place; }

  // Everything below is the player's own.

  beatAtFrame(frame) {
    const old = this.before;
    const strand = old && frame < this.strand.start ? old : this.strand;
    return Math.max(strand.least, strand.map.beatAt(strand.secondAt(frame)));
  }

  // The frame of the audio clock that is at the listener's ears.
  heardFrame() {
    const context = this.context;
    const late = context.outputLatency || context.baseLatency || 0;
    let heard = context.currentTime - late;
    if (context.getOutputTimestamp) {
      const stamp = context.getOutputTimestamp();
      const told = stamp.contextTime + (performance.now() - stamp.performanceTime) / 1000;
      // Some devices tell nothing, or times of their own.
      if (stamp.contextTime > 0 && Math.abs(told - heard) < 0.1) heard = told;
    }
    return heard * context.sampleRate;
  }

  // Changes something, and goes on from the same beat if it plays. What is changed is heard at once
  // or, where a sound has to be decoded first, when that is done; meanwhile the old one goes on.
  goOn(change) {
    change();
    this.changed();
    if (!this.playing) return Promise.resolve();
    return this.start((frame) => (this.strand ? this.beatAtFrame(frame) : this.place));
  }

  // From the beat that `beatAt` gives for a frame of the audio clock. jumps: that is another place
  // than the one that sounds, and is heard from its very beginning.
  async start(beatAt, jumps = false) {
    const wish = ++this.wish;
    try {
      this.open();
      clearTimeout(this.idle);
      this.waiting = !this.sounds.has(this.voice);
      this.changed();
      // A browser may hold sound back until something is clicked; it is not waited for here.
      const resumed = this.context.state === 'running' ? null : this.context.resume();
      const buffer = await this.sounds.get(this.context, this.voice);
      await resumed;
      if (wish !== this.wish || !this.playing) return;
      this.waiting = false;
      this.failure = null;
      this.follow(buffer, beatAt, jumps);
      this.changed();
      this.decodeMore();
    } catch (failure) {
      if (wish !== this.wish) return;
      this.failure = failure;
      this.stop();
      this.changed();
    }
  }

  // A new strand that takes over from the old one.
  follow(buffer, beatAt, jumps) {
    const rate = this.context.sampleRate;
    const frame = Math.ceil((this.context.currentTime + kSoon) * rate);
    const old = this.strand;
    const fade = old ? kCrossFade : kEdgeIn;
    const fresh = this.strandAt(frame, beatAt(frame), buffer, jumps || !old ? fade : 0);
    if (old) old.extend(frame + rate);
    const fades = fadesBetween(old, fresh, frame, fade);
    fresh.riseAt(frame, fades.rise);
    if (old) old.fallAt(frame, fades.fall);
    this.before = old;
    this.strand = fresh;
  }

  // lead: seconds that sound before `beat`, under the strand's rise, so that a note there is whole.
  strandAt(frame, beat, buffer, lead) {
    const { map, length } = this.voices[this.voice];
    const loop = this.loop;
    const inside = loop && beat >= loop.begin && beat < loop.end - 1e-6;
    const first = loop && !inside ? loop.begin : beat;
    const from = loop ? Math.max(0, map.secondAt(loop.begin) - kEdgeIn) : 0;
    const path = {
      buffer,
      speed: this.speed,
      begin: Math.max(0, map.secondAt(first) - (first === beat ? lead : kCrossFade)),
      from,
      until: loop ? Math.max(from + 0.05, map.secondAt(loop.end) - kEdgeIn) : length,
      breath: loop ? map.secondsBefore(loop.end, loop.breath) / this.speed : 0,
      loops: loop !== null,
    };
    const strand = new Strand(this.context, this.output, path, frame);
    strand.map = map;
    strand.least = loop ? loop.begin : lead > 0 ? beat : -Infinity;
    strand.extend(frame + kAtOnce * this.context.sampleRate);
    return strand;
  }

  stop() {
    ++this.wish;
    this.playing = false;
    this.waiting = false;
    if (this.strand) {
      const frame = Math.ceil((this.context.currentTime + 0.01) * this.context.sampleRate);
      this.strand.fallAt(frame, fadesBetween(null, null, frame, kStopFade).fall);
    }
    this.strand = null;
    this.before = null;
    clearTimeout(this.idle);
    if (this.context) this.idle = setTimeout(() => this.context.suspend(), kIdle);
  }

  tick() {
    if (!this.playing || !this.strand) return;
    const now = this.context.currentTime * this.context.sampleRate;
    if (this.strand.isOver(this.heardFrame())) {
      this.place = this.first;
      this.stop();
      this.changed();
      return;
    }
    this.strand.extend(now + kAhead * this.context.sampleRate);
  }

  // The other sounds, one after the other, so that a change to them is heard at once.
  async decodeMore() {
    const { sounds } = this;
    if (sounds.busy) return;
    sounds.busy = true;
    for (let voice = 0; this.sounds === sounds && voice < this.voices.length; ++voice) {
      if (sounds.has(voice) || !sounds.hasRoomFor(this.voice)) continue;
      await sounds.get(this.context, voice).catch(() => {});
    }
    sounds.busy = false;
  }
}
