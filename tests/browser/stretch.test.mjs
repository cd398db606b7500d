// Slower and faster, without a browser: the pitch stays, what is struck comes when it should.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';

const source = readFileSync(new URL('../../renderer/page/shared/stretch.js', import.meta.url), 'utf8');
const Stretch = new Function(`${source}; return Stretch;`)();
const kRate = 24000;

const tone = (hertz) => Float32Array.from({ length: 5 * kRate },
  (_, i) => 0.5 * Math.sin((2 * Math.PI * hertz * i) / kRate));

// By the rising zero crossings, between the samples.
function pitchOf(samples) {
  const crossings = [];
  for (let i = 1; i < samples.length; ++i) {
    if (samples[i - 1] < 0 && samples[i] >= 0) crossings.push(i - samples[i] / (samples[i] - samples[i - 1]));
  }
  return ((crossings.length - 1) * kRate) / (crossings.at(-1) - crossings[0]);
}

for (const speed of [0.5, 0.75, 1.25, 1.5]) {
  for (const hertz of [55, 440, 2000]) {
    test(`a tone of ${hertz} Hz stays so, and as loud, at ${speed * 100} %`, () => {
      const made = new Stretch([tone(hertz)], kRate, speed, 1000.3).next(2 * kRate)[0];
      assert.ok(Math.abs(pitchOf(made) / hertz - 1) < 0.001, `${pitchOf(made)} Hz`);
      for (let at = 0; at + 2400 <= made.length; at += 2400) {
        const level = Math.sqrt(made.subarray(at, at + 2400).reduce((sum, x) => sum + x * x, 0) / 2400);
        assert.ok(Math.abs(level / Math.sqrt(0.125) - 1) < 0.06, `${level} at ${at}`);
      }
    });
  }

  test(`notes come within 15 ms of their time at ${speed * 100} %`, () => {
    const sound = new Float32Array(5 * kRate);
    const struck = [1, 2, 3, 4, 5, 6, 7, 8].map((n) => 0.5 * n + 0.006 * n);
    struck.forEach((second, n) => {
      for (let i = 0; i < 4000; ++i) {
        sound[Math.round(second * kRate) + i] += Math.exp(-i / 800) * Math.sin(i * 0.06 * (n + 2));
      }
    });
    const made = new Stretch([sound], kRate, speed, 0).next(Math.floor((4.5 / speed) * kRate))[0];
    const heard = [];
    let quiet = kRate;
    made.forEach((sample, i) => {
      if (Math.abs(sample) < 0.05) return ++quiet;
      if (quiet > 0.1 * kRate) heard.push(i / kRate);
      quiet = 0;
    });
    assert.equal(heard.length, struck.length);
    struck.forEach((second, n) => assert.ok(Math.abs(heard[n] - second / speed) < 0.015,
      `${heard[n]}, not ${second / speed}`));
  });
}

test('at 100 % the sound is the sound', () => {
  const sound = tone(440).map((sample, i) => sample * (1 + (i % 977) / 977));
  const made = new Stretch([sound], kRate, 1, 2000).next(kRate)[0];
  made.forEach((sample, i) => assert.ok(Math.abs(sample - sound[2000 + i]) < 1e-6));
});

test('pieces joined are what one piece would be', () => {
  const sound = [tone(300), tone(310)];
  const whole = new Stretch(sound, kRate, 0.8, 500).next(30000);
  const stretch = new Stretch(sound, kRate, 0.8, 500);
  const parts = [stretch.next(12001), stretch.next(17999)];
  for (const c of [0, 1]) assert.deepEqual([...parts[0][c], ...parts[1][c]], [...whole[c]]);
});

test('beyond the end there is silence', () => {
  const made = new Stretch([new Float32Array(1000).fill(0.3)], kRate, 1.5, 0).next(kRate)[0];
  assert.ok(made.subarray(kRate / 2).every((sample) => sample === 0));
});
