// Engraves excerpts of a score. The program holds this text and runs it with the folder of the
// engraving library as its argument.
// Standard input: for each excerpt a line "LENGTH WIDTH", and so many bytes of MusicXML. The width
// is that of the page, 18 to a staff space.
// Standard output: for each a line "svg LENGTH" and the picture, or "none 0". First of all a line
// "ready", or "missing", after which nothing comes.
// Each excerpt becomes one system; it is spread to the width, or wider than it where it does not
// fit. Nothing here knows of time: the library draws, no more.
import { readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

console.log = console.error;  // a library's remarks are no answer

function say(text) {
  let bytes = Buffer.from(text);
  while (bytes.length > 0) bytes = bytes.subarray(writeSync(1, bytes));
}

async function engraver(folder) {
  const from = (name) => import(pathToFileURL(join(folder, 'node_modules/verovio/dist', name)));
  const { LOG_OFF, VerovioToolkit, enableLog } = await from('verovio.mjs');
  const module = await (await from('verovio-module.mjs')).default();
  enableLog(LOG_OFF, module);
  return new VerovioToolkit(module);
}

// Margins, because words and ledger lines may stand out of what the library takes for the page.
const kOptions = {
  adjustPageHeight: true,
  footer: 'none',
  header: 'none',
  minLastJustification: 0,
  mnumInterval: 100000,
  pageHeight: 60000,
  pageMarginBottom: 20,
  pageMarginLeft: 25,
  pageMarginRight: 0,
  pageMarginTop: 20,
  smuflTextFont: 'none',
  staffLineWidth: 0.19,
  spacingStaff: 8,
  svgViewBox: true,
  xmlIdSeed: 1,
};

function systems(svg) {
  return svg.split('class="system"').length - 1;
}

function engrave(toolkit, xml, width) {
  const fits = { ...kOptions, adjustPageWidth: false, breaks: 'auto', pageWidth: width };
  toolkit.setOptions(fits);
  if (!toolkit.loadData(xml)) return '';
  const svg = toolkit.renderToSVG(1);
  if (systems(svg) === 1 && toolkit.getPageCount() === 1) return svg;
  toolkit.setOptions({ ...kOptions, adjustPageWidth: true, breaks: 'none' });
  toolkit.redoLayout();
  return toolkit.renderToSVG(1);
}

function* excerpts(bytes) {
  for (let at = 0; at < bytes.length;) {
    const line = bytes.indexOf(10, at);
    const [length, width] = bytes.toString('latin1', at, line).split(' ').map(Number);
    at = line + 1 + length;
    yield [bytes.toString('utf8', line + 1, at), width];
  }
}

const folder = process.argv[1];
let toolkit;
try {
  toolkit = await engraver(folder);
} catch {
  say('missing\n');
}
if (toolkit) {
  say('ready\n');
  for (const [xml, width] of excerpts(readFileSync(0))) {
    let svg = '';
    try {
      svg = engrave(toolkit, xml, width);
    } catch {
      // The library has failed on it.
    }
    say(svg ? `svg ${Buffer.byteLength(svg)}\n${svg}` : 'none 0\n');
  }
}
