// Between a WebAssembly program and its glue: what the glue does not ask for is no longer handed to
// it, and the rest gets short names. wasm-bindgen gives each a hash of 16 digits, which no packer can
// make smaller, twice: in the program and in the glue.

const IMPORTS = 2;
const EXPORTS = 7;
const HASHED = /[0-9a-f]{16}/;

// Reads a binary from a place on; numbers are LEB128, texts come with their length.
class Reader {
  constructor(bytes, at = 0) {
    this.bytes = bytes;
    this.at = at;
  }
  number() {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const byte = this.bytes[this.at++];
      value += (byte & 127) * 2 ** shift;
      if (byte < 128) return value;
    }
  }
  take(length) {
    return this.bytes.subarray(this.at, (this.at += length));
  }
  text() {
    return Buffer.from(this.take(this.number())).toString();
  }
}

const number = (value) => {
  const out = [];
  for (; value > 127; value = Math.floor(value / 128)) out.push((value % 128) | 128);
  return Buffer.from([...out, value]);
};
const text = (value) => Buffer.concat([number(Buffer.byteLength(value)), Buffer.from(value)]);

// What follows the name of an import: its kind, and what it is like.
const likeness = (reader) => {
  const from = reader.at;
  const limits = () => {
    const flags = reader.number();
    reader.number();
    if (flags & 1) reader.number();
  };
  const [kind] = reader.take(1);
  if (kind === 0) reader.number(); // a function: its type
  else if (kind === 1) reader.take(1), limits(); // a table: of what, how long
  else if (kind === 2) limits(); // a memory: how long
  else if (kind === 3) reader.take(2); // a global: of what, whether it changes
  else throw new Error(`an import of kind ${kind} is new to short-names.mjs`);
  return reader.bytes.subarray(from, reader.at);
};

// The program and its glue, { program, glue }, with short names and without needless exports.
export const shortNames = (program, glue) => {
  const names = new Map();
  const short = (name) => {
    if (!HASHED.test(name)) return name;
    if (!names.has(name)) names.set(name, `_${names.size.toString(36)}`);
    return names.get(name);
  };
  const asked = new Set(glue.match(/[\w$]+/g));
  const entries = {
    [IMPORTS]: (r) => [text(r.text()), text(short(r.text())), likeness(r)],
    [EXPORTS]: (r) => {
      const name = r.text();
      const what = [r.take(1), number(r.number())];
      return asked.has(name) && [text(short(name)), ...what];
    },
  };
  const whole = new Reader(program);
  const out = [whole.take(8)];
  while (whole.at < program.length) {
    const [id] = whole.take(1);
    const content = whole.take(whole.number());
    let kept = [content];
    if (entries[id]) {
      const reader = new Reader(content);
      const all = Array.from({ length: reader.number() }, () => entries[id](reader)).filter(Boolean);
      kept = [number(all.length), ...all.flat()];
    }
    out.push(Buffer.from([id]), number(kept.reduce((sum, part) => sum + part.length, 0)), ...kept);
  }
  const known = new RegExp([...names.keys()].sort((a, b) => b.length - a.length).join("|"), "g");
  return { program: Buffer.concat(out), glue: glue.replace(known, (name) => names.get(name)) };
};
