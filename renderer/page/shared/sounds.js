// The sounds inside the page: base64 to decoded buffers when they are first needed, and no more of
// them at a time than a phone's memory bears.

const kWhoCanPlay = 'Recent Firefox, Chrome and Edge can play it, and Safari from version 18.4 on.';
const kMostDecoded = 160e6;  // bytes of decoded sound that are kept

function bytesOf(base64) {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; ++i) bytes[i] = text.charCodeAt(i);
  return bytes.buffer;
}

class Sounds {
  // texts: for each sound a function that gives its base64.
  constructor(texts) {
    this.texts = texts;
    this.decoded = new Map();  // sound -> promise of its buffer, the longest unused first
    this.sizes = new Map();    // sound -> bytes
    this.busy = false;         // all of them are being decoded
  }

  // A promise of the decoded sound. It fails where the browser cannot decode Opus.
  get(context, sound) {
    const known = this.decoded.get(sound);
    const buffer = known || context.decodeAudioData(bytesOf(this.texts[sound]()));
    this.decoded.delete(sound);
    this.decoded.set(sound, buffer);
    if (!known) {
      buffer.then((got) => {
        this.sizes.set(sound, 4 * got.length * got.numberOfChannels);
        this.forget(sound);
      }, () => this.decoded.delete(sound));
    }
    return buffer;
  }

  has(sound) { return this.sizes.has(sound); }
  size() { return [...this.sizes.values()].reduce((sum, size) => sum + size, 0); }
  // Whether one more of the size of this one may be kept.
  hasRoomFor(like) { return this.size() + (this.sizes.get(like) || 0) <= kMostDecoded; }

  forget(except) {
    for (const sound of [...this.decoded.keys()]) {
      if (this.size() <= kMostDecoded) return;
      if (sound === except || !this.sizes.has(sound)) continue;
      this.decoded.delete(sound);
      this.sizes.delete(sound);
    }
  }
}
