// The listening page: its buttons, keys and blocks, tied to a player and a picture.

const kWordOfFailure =
  `This browser cannot play the sound inside this page (Opus in an Ogg file). ${kWhoCanPlay} The picture ` +
  'is complete without it.';

class Page {
  constructor(data) {
    this.data = data;
    this.chosen = null;  // block
    this.find();
    const voices = data.voices.map(({ map, length }) => ({ map: new TimeMap(map), length }));
    const texts = [...document.querySelectorAll('.sound')].map((held) => () => held.textContent);
    this.player = new Player(voices, new Sounds(texts), data.sampleRate, () => this.refresh());
    this.player.place = data.begin;
    this.player.voice = Math.max(0, this.radios.findIndex((radio) => radio.checked));
    this.player.first = data.begin;
    this.picture = new Picture(document.querySelector('main'), data.systems, data.blocks,
      (block) => this.chooseAndPlay(block), (beat) => this.player.seek(beat));
    this.listen();
    this.refresh();
    const draw = () => {
      this.draw();
      requestAnimationFrame(draw);
    };
    requestAnimationFrame(draw);
  }

  find() {
    const get = (id) => document.getElementById(id);
    this.controls = { play: get('play'), loop: get('loop'), speed: get('speed'), volume: get('volume') };
    this.words = { speed: get('speed-said'), status: get('status') };
    this.radios = [...document.querySelectorAll('input[name=voice]')];
  }

  listen() {
    const { play, loop, speed, volume } = this.controls;
    play.addEventListener('click', () => this.playOrPause());
    loop.addEventListener('click', () => this.toggleLoop());
    speed.addEventListener('input', () => this.player.setSpeed(Number(speed.value) / 100));
    volume.addEventListener('input', () => this.player.setVolume((Number(volume.value) / 100) ** 2));
    this.radios.forEach((radio, voice) => {
      radio.addEventListener('change', () => this.player.setVoice(voice));
    });
    addEventListener('keydown', (event) => this.key(event));
    this.player.setVolume((Number(volume.value) / 100) ** 2);
  }

  // What is drawn for each frame of the screen.
  draw() {
    const beat = this.player.beat();
    const playing = this.player.playing;
    if (beat === this.drawn && this.picture.shown() === this.drawnIn) return;
    this.picture.show(beat, playing);
    this.drawn = beat;
    this.drawnIn = this.picture.shown();
  }

  playOrPause() {
    if (this.player.playing) this.player.pause();
    else this.player.play();
  }

  chooseAndPlay(block) {
    this.choose(block);
    this.player.play(block.begin);
  }

  // Without playing; a loop goes over to the new block.
  choose(block, focus = false) {
    this.chosen = block;
    this.picture.choose(block, focus);
    if (this.player.loop) this.player.loop = this.spanOf(block);
    this.refresh();
  }

  spanOf(block) {
    return block && { begin: block.begin, end: block.end, breath: block.breath };
  }

  // Of the chosen block, or of the phrase that is heard.
  toggleLoop() {
    if (this.player.loop) return this.player.setLoop(null);
    if (!this.chosen) this.choose(this.blockAt(this.player.beat(), 'phrase'));
    if (this.chosen) this.player.setLoop(this.spanOf(this.chosen));
  }

  blockAt(beat, level) {
    const blocks = this.data.blocks.filter((block) => block.level === level);
    return blocks.findLast((block) => block.begin <= beat + 1e-6) || blocks[0] || null;
  }

  clear() {
    this.chosen = null;
    this.picture.choose(null);
    if (this.player.loop) this.player.setLoop(null);
    this.refresh();
  }

  // To the neighbour of the chosen block, of its own level; without one, of the phrase that is heard.
  step(by) {
    const level = this.chosen ? this.chosen.level : 'phrase';
    const blocks = this.data.blocks.filter((block) => block.level === level);
    if (blocks.length === 0) return;
    const here = this.chosen || this.blockAt(this.player.beat(), level);
    const next = blocks[Math.min(Math.max(blocks.indexOf(here) + by, 0), blocks.length - 1)];
    this.go(next);
  }

  // To the block that holds the chosen one, or to the first that it holds.
  climb(up) {
    const here = this.chosen || this.blockAt(this.player.beat(), 'phrase');
    if (!here) return;
    const wanted = up
      ? this.data.blocks.find((block) => block.name === here.name.split('.').slice(0, -1).join('.'))
      : this.data.blocks.find((block) => block.name === `${here.name}.1`);
    if (wanted) this.go(wanted);
  }

  go(block) {
    this.choose(block, true);
    this.player.seek(block.begin);
  }

  changeSpeed(by) {
    const { speed } = this.controls;
    speed.value = Number(speed.value) + by;
    this.player.setSpeed(Number(speed.value) / 100);
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const { target } = event;
    const isField = target.closest('input') !== null;
    const isButton = target.closest('button, summary') !== null;
    const arrows = { ArrowLeft: () => this.step(-1), ArrowRight: () => this.step(1),
      ArrowUp: () => this.climb(true), ArrowDown: () => this.climb(false) };
    const inBlocks = target.closest('[data-block]') !== null;
    const digit = /^[1-9]$/.test(event.key) ? Number(event.key) - 1 : -1;
    let done = true;
    if (event.key === ' ' && !isButton) this.playOrPause();
    else if (event.key.startsWith('Arrow') && !isField) {
      // Up and down scroll the page, unless the keyboard is among the blocks.
      done = inBlocks || event.key === 'ArrowLeft' || event.key === 'ArrowRight';
      if (done) arrows[event.key]();
    } else if (digit >= 0 && digit < this.radios.length) this.speak(digit);
    else if (event.key === 'l' || event.key === 'L') this.toggleLoop();
    else if (event.key === '+' || event.key === '=') this.changeSpeed(5);
    else if (event.key === '-') this.changeSpeed(-5);
    else if (event.key === 'Escape') this.clear();
    else done = false;
    if (done) event.preventDefault();
  }

  speak(voice) {
    this.radios[voice].checked = true;
    this.player.setVoice(voice);
  }

  // Brings all words up to date.
  refresh() {
    const { player, controls, words } = this;
    const { playing, loop, failure, waiting } = player;
    setText(controls.play, playing ? 'pause' : 'play');
    controls.loop.setAttribute('aria-pressed', String(loop !== null));
    setText(controls.loop, `loop ${this.chosen ? `${this.chosen.level} ${this.chosen.name}` : 'this phrase'}`);
    setText(words.speed, `${controls.speed.value} %`);
    controls.speed.setAttribute('aria-valuetext', `${controls.speed.value} percent`);
    const voice = this.data.voices[player.voice].label;
    let said = '';
    if (failure) said = kWordOfFailure;
    else if (playing && waiting) said = `making ${voice} ready`;
    else if (playing) said = `playing: ${voice}${loop ? ', round and round' : ''}`;
    setText(words.status, said);
    words.status.classList.toggle('seen', failure !== null);
    document.body.classList.toggle('waiting', playing && waiting);
  }
}

function begin() {
  const data = JSON.parse(document.getElementById('data').textContent);
  if (!window.AudioContext) {
    const status = document.getElementById('status');
    status.textContent = kWordOfFailure;
    status.classList.add('seen');
    return;
  }
  window.arsisPage = new Page(data);
}

begin();
