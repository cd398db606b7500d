// Writes what Verovio plays of each notion: FOLDER/NAME.txt, a line for each note with its onset in
// quarter notes and its pitch, by onset, then pitch.
// Run by make.sh, with the folder of notions and that of the lists.
// Its MIDI file is read, not its timemap, which names no pitches: 120 ticks are a quarter note.
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { LOG_OFF, VerovioToolkit, enableLog } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';

const kNames = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];

// [tick, key] of each note-on of a Standard MIDI File, and its ticks per quarter note.
function notesOf(midi) {
  const division = midi.readUInt16BE(12);
  const notes = [];
  for (let at = 14; at < midi.length;) {
    const end = at + 8 + midi.readUInt32BE(at + 4);
    notes.push(...notesOfTrack(midi.subarray(at + 8, end)));
    at = end;
  }
  return { division, notes };
}

function notesOfTrack(bytes) {
  const notes = [];
  let at = 0;
  let tick = 0;
  let status = 0;
  const number = () => {
    let value = 0;
    let byte = 0;
    do {
      byte = bytes[at++];
      value = value * 128 + (byte & 0x7f);
    } while (byte & 0x80);
    return value;
  };
  while (at < bytes.length) {
    tick += number();
    if (bytes[at] & 0x80) status = bytes[at++];
    if (status === 0xff || status >= 0xf0) {
      if (status === 0xff) ++at;  // the kind
      const length = number();
      at += length;
      continue;
    }
    const kind = status & 0xf0;
    if (kind === 0x90 && bytes[at + 1] > 0) notes.push([tick, bytes[at]]);
    at += kind === 0xc0 || kind === 0xd0 ? 1 : 2;
  }
  return notes;
}

// 80 of 120 is "2/3".
function fraction(over, under) {
  let [a, b] = [over, under];
  while (b) [a, b] = [b, a % b];
  return under === a ? `${over / a}` : `${over / a}/${under / a}`;
}

function listOf(toolkit, path) {
  if (!toolkit.loadData(readFileSync(path, 'utf8'))) return '';  // as of a timewise file
  const { division, notes } = notesOf(Buffer.from(toolkit.renderToMIDI(), 'base64'));
  notes.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  return notes
    .map(([tick, key]) => `${fraction(tick, division)} ${kNames[key % 12]}${Math.floor(key / 12) - 1}\n`)
    .join('');
}

const [from, to] = process.argv.slice(2);
const module = await createVerovioModule();
enableLog(LOG_OFF, module);
const toolkit = new VerovioToolkit(module);
mkdirSync(to, { recursive: true });
for (const file of readdirSync(from).sort()) {
  if (!file.endsWith('.musicxml')) continue;
  writeFileSync(join(to, basename(file, '.musicxml') + '.txt'), listOf(toolkit, join(from, file)));
}
