// Reads TOML, in which lessons are written, as plain data. Everything that lessons use of TOML 1.0 is
// read; dates, and numbers other than decimal, are not. An error names line and column, and so can
// be named the place of any value that was read: `places` holds it by its path.

let places = new Map();

class Reader {
  constructor(text) {
    this.text = text.replaceAll("\r\n", "\n");
    this.at = 0;
  }

  fail(what, at = this.at) {
    throw new Error(`${place(this.text, at)}: ${what}`);
  }

  is(sign) {
    return this.text.startsWith(sign, this.at);
  }

  take(sign) {
    const there = this.is(sign);
    if (there) this.at += sign.length;
    return there;
  }

  need(sign) {
    if (!this.take(sign)) this.fail(`expected ${sign}, and found ${this.found()}`);
  }

  found() {
    const rest = this.text.slice(this.at).split("\n")[0].trim();
    return rest ? `"${rest.slice(0, 20)}"` : "the end of the line";
  }

  match(pattern) {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (found) this.at = pattern.lastIndex;
    return found?.[0];
  }

  blank() {
    this.match(/[ \t]*/y);
  }

  /** Blanks, line ends and comments. */
  gap() {
    this.match(/(?:[ \t\n]|#[^\n]*)*/y);
  }

  endOfLine() {
    this.match(/[ \t]*(?:#[^\n]*)?/y);
    if (this.at < this.text.length) this.need("\n");
  }

  key() {
    this.blank();
    if (this.is('"') || this.is("'")) return this.string();
    return this.match(/[A-Za-z0-9_-]+/y) ?? this.fail(`expected a key, and found ${this.found()}`);
  }

  path() {
    const keys = [this.key()];
    for (this.blank(); this.take("."); this.blank()) keys.push(this.key());
    return keys;
  }

  string() {
    for (const sign of ['"""', "'''", '"', "'"]) {
      if (!this.take(sign)) continue;
      const long = sign.length === 3;
      if (long) this.take("\n");
      let out = "";
      while (!this.take(sign)) {
        if (this.at >= this.text.length || (!long && this.is("\n"))) this.fail(`expected ${sign} at the end of a text`);
        out += sign[0] === '"' && this.is("\\") ? this.escape(long) : this.text[this.at++];
      }
      return out;
    }
    return this.fail("expected a text");
  }

  escape(long) {
    if (long && this.match(/\\[ \t]*\n[ \t\n]*/y) !== undefined) return "";
    const code = this.match(/\\(?:[btnfre"\\]|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8})/y)
      ?? this.fail("expected an escape such as \\n");
    const letters = { b: "\b", t: "\t", n: "\n", f: "\f", r: "\r", e: "\x1b", '"': '"', "\\": "\\" };
    return letters[code[1]] ?? String.fromCodePoint(Number.parseInt(code.slice(2), 16));
  }

  value(path) {
    this.blank();
    places.set(path, place(this.text, this.at));
    if (this.is('"') || this.is("'")) return this.string();
    if (this.take("[")) return this.list(path);
    if (this.take("{")) return this.inline(path);
    const start = this.at;
    const word = this.match(/[A-Za-z0-9_+.:-]+/y) ?? this.fail(`expected a value, and found ${this.found()}`);
    if (word === "true" || word === "false") return word === "true";
    if (!/^[+-]?\d[\d_]*(?:\.\d[\d_]*)?(?:[eE][+-]?\d+)?$/.test(word)) {
      this.fail(`expected a value, and found "${word}" (a text stands in quotes)`, start);
    }
    return Number(word.replaceAll("_", ""));
  }

  list(path) {
    const all = [];
    for (this.gap(); !this.take("]"); this.gap()) {
      all.push(this.value(`${path}.${all.length}`));
      this.gap();
      if (!this.is("]")) this.need(",");
    }
    return all;
  }

  inline(path) {
    const table = bare();
    for (this.gap(); !this.take("}"); this.gap()) {
      this.pair(table, path);
      this.gap();
      if (!this.is("}")) this.need(",");
    }
    return table;
  }

  /** `key = value` into a table whose own path is `path`. */
  pair(table, path) {
    this.blank();
    const start = this.at;
    const keys = this.path();
    const last = keys.pop();
    const into = this.down(table, keys, start);
    if (Object.hasOwn(into, last)) this.fail(`the key \`${last}\` stands there twice`, start);
    const whole = [path, ...keys, last].filter(Boolean).join(".");
    places.set(`${whole}:key`, place(this.text, start));
    this.need("=");
    into[last] = this.value(whole);
  }

  down(table, keys, start) {
    let into = table;
    for (const key of keys) {
      into[key] ??= bare();
      into = Array.isArray(into[key]) ? into[key].at(-1) : into[key];
      if (typeof into !== "object") this.fail(`\`${key}\` is a value and no table`, start);
    }
    return into;
  }

  whole() {
    const root = bare();
    let [table, path] = [root, ""];
    for (this.gap(); this.at < this.text.length; this.gap()) {
      if (this.is("[")) {
        [table, path] = this.head(root);
      } else {
        this.pair(table, path);
      }
      this.endOfLine();
    }
    return root;
  }

  /** `[table]` or `[[list of tables]]`. */
  head(root) {
    const start = this.at;
    const list = this.take("[[") || (this.need("["), false);
    const keys = this.path();
    this.need(list ? "]]" : "]");
    const last = keys.pop();
    const into = this.down(root, keys, start);
    let path = "";
    let step = root;
    for (const key of keys) {
      step = step[key];
      path += `${key}.`;
      if (Array.isArray(step)) {
        path += `${step.length - 1}.`;
        step = step.at(-1);
      }
    }
    path += last;
    places.set(`${path}:key`, place(this.text, start));
    if (!list) {
      into[last] ??= bare();
      return [into[last], path];
    }
    into[last] ??= [];
    if (!Array.isArray(into[last])) this.fail(`\`${last}\` is there already and no list`, start);
    into[last].push(bare());
    path += `.${into[last].length - 1}`;
    places.set(path, place(this.text, start));
    return [into[last].at(-1), path];
  }
}

/** A table without a parent: whatever its keys are called, they are its own. */
const bare = () => Object.create(null);

function place(text, at) {
  const lines = text.slice(0, at).split("\n");
  return `line ${lines.length}, column ${[...lines.at(-1)].length + 1}`;
}

/** The text as JSON; throws an error whose message is a sentence with its place. */
export function toml_to_json(text) {
  places = new Map();
  return JSON.stringify(new Reader(text).whole());
}

/**
 * Where in the text read last stands what the program finds wrong with it: `stages[2].goal: …`,
 * `stage 3, key \`say\`: …`, `key \`part\`: …`; or what is nearest around it.
 */
export function toml_place(wrong) {
  const path = [];
  for (const word of wrong.split(": ")) {
    const stage = /^stage (\d+)/.exec(word)?.[1];
    const key = /(?:^|key )`?([a-z_]+(?:\.[a-z_]+|\[\d+\])*)`?$/.exec(word)?.[1];
    if (stage) path.push("stages", stage - 1);
    if (key) path.push(...key.match(/[a-z_]+|\d+/g));
    if (!key && !stage) break;
  }
  const unknown = /unknown field `([^`]+)`/.exec(wrong)?.[1];
  for (let keys = [...path, unknown].filter((k) => k !== undefined); keys.length > 0; keys.pop()) {
    const at = keys.join(".");
    const found = places.get(`${at}:key`) ?? places.get(at);
    if (found) return found;
  }
  return undefined;
}
