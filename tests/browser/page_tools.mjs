// What several tests do inside of a page. Functions given to page.evaluate() run there and see only
// what they are handed.

// Keeps a list of every sound that the page schedules: the audio clock's moment, the place in the
// buffer. Given to Browser.page() as `prepare`.
export function watchSources() {
  window.started = [];
  const start = AudioBufferSourceNode.prototype.start;
  AudioBufferSourceNode.prototype.start = function (when, offset = 0, ...rest) {
    window.started.push({ when, offset, length: this.buffer.duration });
    return start.call(this, when, offset, ...rest);
  };
}

// For some seconds, at each frame of the screen: the audio clock at the listener's ears, and the
// cursor's beat by its place on the screen. `coarseClock` goes in the steps of the device.
export function watchCursor(seconds) {
  const { player, picture, data } = window.arsisPage;
  const along = (from, to, value) => {
    let i = 0;
    while (i < from.length - 2 && from[i + 1] <= value) ++i;
    return to[i] + ((to[i + 1] - to[i]) * (value - from[i])) / (from[i + 1] - from[i]);
  };
  return new Promise((resolve) => {
    const seen = [];
    const look = (begin) => (now) => {
      const { context } = player;
      const systems = picture.shown();
      const i = systems.findIndex((system) => !system.cursor.hidden);
      const cursor = systems[i].cursor.getBoundingClientRect();
      const box = systems[i].element.getBoundingClientRect();
      const { width, ways } = data.systems[systems === picture.sets[0].systems ? 'wide' : 'narrow'][i];
      const x = ((cursor.left + cursor.width / 2 - box.left) / box.width) * width;
      const [beats, places] = [0, 1].map((k) => ways.filter((_, n) => n % 2 === k));
      const beat = along(places, beats, x);
      const map = data.voices[player.voice].map;
      const second = along(map.filter((_, n) => n % 2 === 1), map.filter((_, n) => n % 2 === 0), beat);
      const stamp = context.getOutputTimestamp();
      seen.push({ beat, second,
        clock: stamp.contextTime + (performance.now() - stamp.performanceTime) / 1000,
        coarseClock: context.currentTime - context.outputLatency });
      if (now - begin > 1000 * seconds) resolve(seen);
      else requestAnimationFrame(look(begin));
    };
    requestAnimationFrame((now) => requestAnimationFrame(look(now)));
  });
}

// Plays without a device, as fast as can be: the page's own player on an OfflineAudioContext.
// steps: [{at, call, with}] in seconds: what to ask then of the player, or of the lesson around it;
// 'play' first. The samples of the middle between left and right, which samplesOf() reads.
export async function playOffline({ seconds, steps }) {
  const { player } = window.arsisPage || window.arsisLesson;
  const ask = (step) => (step.call in player ? player : window.arsisLesson)[step.call](...step.with);
  if (player.playing) player.pause();
  const rate = player.sampleRate;
  const offline = new OfflineAudioContext(2, Math.round(seconds * rate), rate);
  const resume = offline.resume.bind(offline);
  offline.resume = () => Promise.resolve();
  offline.suspend = offline.suspend.bind(offline);
  const before = { context: player.context, output: player.output };
  player.strand = player.before = null;
  player.context = offline;
  player.output = new GainNode(offline);
  player.output.connect(offline.destination);
  for (const voice of player.voices.keys()) await player.sounds.get(offline, voice);
  const asked = steps.filter(({ at }) => at > 0);
  const at0 = steps.filter(({ at }) => at === 0);
  for (const step of at0) await ask(step);
  const moments = new Set(asked.map(({ at }) => at));
  for (let at = 0.25; at < seconds - 0.1; at += 0.25) moments.add(at);
  for (const at of moments) {
    offline.suspend(at).then(async () => {
      player.tick();
      for (const step of asked.filter((each) => each.at === at)) await ask(step);
      resume();
    });
  }
  const rendered = await offline.startRendering();
  player.playing = false;
  player.strand = player.before = null;
  Object.assign(player, before);
  const [left, right] = [rendered.getChannelData(0), rendered.getChannelData(1)];
  const middle = new Uint8Array(left.map((sample, i) => (sample + right[i]) / 2).buffer);
  let text = '';
  for (let i = 0; i < middle.length; i += 8192) {
    text += String.fromCharCode(...middle.subarray(i, i + 8192));
  }
  return btoa(text);
}

export function samplesOf(base64) {
  const bytes = new Uint8Array(Buffer.from(base64, 'base64'));
  return new Float32Array(bytes.buffer);
}

// Root of the mean square of the samples from one second to another.
export function levelOf(samples, rate, from, to) {
  let sum = 0;
  const [first, last] = [Math.round(from * rate), Math.round(to * rate)];
  for (let i = first; i < last; ++i) sum += samples[i] ** 2;
  return Math.sqrt(sum / (last - first));
}
