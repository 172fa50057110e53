/**
 * TOML as car sheets are written in: tables, texts of all four kinds, numbers, yes or no, lists and tables in one line.
 * Dates and lists of tables have no place in a sheet and are refused. What is wrong is told with its line.
 */

/** @typedef {string | number | boolean | TomlValue[] | { [key: string]: TomlValue }} TomlValue */
/** @typedef {{ [key: string]: TomlValue }} TomlTable */
/** @typedef {{ table: TomlTable, lines: Map<string, number> }} Toml lines: where a key stands, by its dotted path */

export class TomlError extends Error {
  /** @param {number} line @param {string} message */
  constructor(line, message) {
    super(`Line ${line}: ${message}`);
    this.name = "TomlError";
    this.line = line;
    this.told = message;
  }
}

const ESCAPES = /** @type {Record<string, string>} */ ({ b: "\b", t: "\t", n: "\n", f: "\f", r: "\r", '"': '"', "\\": "\\" });
const NUMBER = /^[+-]?(0|[1-9](_?\d)*)(\.\d(_?\d)*)?([eE][+-]?\d(_?\d)*)?$/;

/**
 * @param {string} text
 * @returns {Toml}
 * @throws {TomlError}
 */
export function parseToml(text) {
  return new Reader(text.replace(/^\ufeff/, "").replaceAll("\r\n", "\n")).read();
}

class Reader {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
    this.at = 0;
    /** @type {TomlTable} */
    this.table = Object.create(null);
    /** @type {Map<string, number>} */
    this.lines = new Map();
    /** Tables that were written in one line or by a heading, and so are closed to that. @type {Set<unknown>} */
    this.closed = new Set();
    /** Tables made by dotted keys, which a heading may not open again. @type {Set<unknown>} */
    this.dotted = new Set();
  }

  /** @returns {Toml} */
  read() {
    let here = this.table;
    /** @type {string[]} */
    let path = [];
    for (this.skipLines(); this.at < this.text.length; this.skipLines()) {
      if (this.peek() === "[") {
        path = this.readHeading();
        here = this.openTable(path);
      } else {
        this.readPair(here, path);
      }
      this.endLine();
    }
    return { table: this.table, lines: this.lines };
  }

  peek() {
    return this.text[this.at] ?? "";
  }

  get line() {
    return this.text.slice(0, this.at).split("\n").length;
  }

  /** @param {string} message @returns {never} */
  fail(message) {
    throw new TomlError(this.line, message);
  }

  skipBlanks() {
    while (this.peek() === " " || this.peek() === "\t") this.at += 1;
  }

  skipComment() {
    this.skipBlanks();
    if (this.peek() === "#") while (this.at < this.text.length && this.peek() !== "\n") this.at += 1;
  }

  skipLines() {
    for (this.skipComment(); this.peek() === "\n"; this.skipComment()) this.at += 1;
  }

  endLine() {
    this.skipComment();
    if (this.at < this.text.length && this.peek() !== "\n") this.fail("Something stands after the value; begin a new line.");
  }

  readHeading() {
    if (this.text.startsWith("[[", this.at)) this.fail("A list of tables has no place in a sheet.");
    this.at += 1;
    const path = this.readKey();
    if (this.peek() !== "]") this.fail("The heading does not end; close it with ].");
    this.at += 1;
    return path;
  }

  /** @param {string[]} path @returns {TomlTable} */
  openTable(path) {
    let here = this.table;
    for (const key of path) {
      const found = here[key];
      if (found === undefined) here[key] = Object.create(null);
      else if (!isTable(found) || this.closed.has(found)) this.fail(`"${path.join(".")}" has a value already.`);
      here = /** @type {TomlTable} */ (here[key]);
    }
    const name = path.join(".");
    if (this.lines.has(`[${name}]`) || this.dotted.has(here)) this.fail(`The table "${name}" stands here a second time.`);
    this.lines.set(`[${name}]`, this.line);
    if (!this.lines.has(name)) this.lines.set(name, this.line);
    return here;
  }

  /** @param {TomlTable} table @param {string[]} path of the table */
  readPair(table, path) {
    const keys = this.readKey();
    if (this.peek() !== "=") this.fail("A key without =; write key = value.");
    this.at += 1;
    const line = this.line;
    let here = table;
    for (const [index, key] of keys.slice(0, -1).entries()) {
      const found = here[key];
      if (found === undefined) this.dotted.add((here[key] = Object.create(null)));
      else if (!isTable(found) || this.closed.has(found) || this.lines.has(`[${[...path, ...keys.slice(0, index + 1)].join(".")}]`)) {
        this.fail(`"${keys.join(".")}" has a value already.`);
      }
      here = /** @type {TomlTable} */ (here[key]);
    }
    const last = keys.at(-1) ?? "";
    if (Object.hasOwn(here, last)) this.fail(`"${keys.join(".")}" is given twice.`);
    here[last] = this.readValue([...path, ...keys]);
    for (let count = 1; count <= keys.length; count += 1) {
      const name = [...path, ...keys.slice(0, count)].join(".");
      if (!this.lines.has(name)) this.lines.set(name, line);
    }
  }

  /** @returns {string[]} */
  readKey() {
    /** @type {string[]} */
    const keys = [];
    for (;;) {
      this.skipBlanks();
      const bare = /^[A-Za-z0-9_-]+/.exec(this.text.slice(this.at, this.at + 200))?.[0];
      if (bare) {
        this.at += bare.length;
        keys.push(bare);
      } else if (this.peek() === '"') keys.push(this.readBasic());
      else if (this.peek() === "'") keys.push(this.readLiteral());
      else this.fail("This line is neither a key nor a heading; write key = value.");
      this.skipBlanks();
      if (this.peek() !== ".") return keys;
      this.at += 1;
    }
  }

  /** @param {string[]} path @returns {TomlValue} */
  readValue(path) {
    this.skipBlanks();
    if (this.text.startsWith('"""', this.at)) return this.readLong('"""');
    if (this.text.startsWith("'''", this.at)) return this.readLong("'''");
    const sign = this.peek();
    if (sign === '"') return this.readBasic();
    if (sign === "'") return this.readLiteral();
    if (sign === "[") return this.readList(path);
    if (sign === "{") return this.readInline(path);
    const word = /^[^\s,\]}#]+/.exec(this.text.slice(this.at, this.at + 400))?.[0] ?? "";
    if (word === "") this.fail("The value is missing.");
    const value = word === "true" ? true : word === "false" ? false : NUMBER.test(word) ? Number(word.replaceAll("_", "")) : null;
    if (value === null || !Number.isFinite(Number(value))) this.fail(`"${word}" is no value; text goes in quotes, yes and no are true and false.`);
    this.at += word.length;
    return /** @type {number | boolean} */ (value);
  }

  readBasic() {
    this.at += 1;
    let text = "";
    for (;;) {
      const sign = this.peek();
      if (sign === "" || sign === "\n") this.fail("The text does not end on its line; close the quotes.");
      if (sign === '"') break;
      text += sign === "\\" ? this.readEscape() : this.take(sign);
    }
    this.at += 1;
    return text;
  }

  /** @param {string} sign */
  take(sign) {
    if (isControl(sign)) this.fail("A text holds a sign that it may not hold as it is.");
    this.at += 1;
    return sign;
  }

  readEscape() {
    const letter = this.text[this.at + 1] ?? "";
    if (Object.hasOwn(ESCAPES, letter)) {
      this.at += 2;
      return ESCAPES[letter] ?? "";
    }
    const digits = letter === "u" ? 4 : letter === "U" ? 8 : 0;
    const code = this.text.slice(this.at + 2, this.at + 2 + digits);
    const point = Number.parseInt(code, 16);
    if (digits === 0 || !new RegExp(`^[0-9a-fA-F]{${digits}}$`).test(code) || point > 0x10ffff || (point >= 0xd800 && point < 0xe000)) {
      this.fail("A backslash that means nothing; write \\\\ for a backslash.");
    }
    this.at += 2 + digits;
    return String.fromCodePoint(point);
  }

  readLiteral() {
    const end = this.text.indexOf("'", this.at + 1);
    const text = this.text.slice(this.at + 1, end);
    if (end < 0 || text.includes("\n")) this.fail("The text does not end on its line; close the quotes.");
    if ([...text].some(isControl)) this.fail("A text holds a sign that it may not hold as it is.");
    this.at = end + 1;
    return text;
  }

  /** @param {string} quotes three of either kind */
  readLong(quotes) {
    const start = this.at;
    this.at += 3;
    if (this.peek() === "\n") this.at += 1;
    let text = "";
    while (!this.text.startsWith(quotes, this.at)) {
      if (this.at >= this.text.length) {
        this.at = start;
        this.fail("The text does not end; close it with the quotes it began with.");
      }
      const folded = quotes === '"""' ? /^\\[ \t]*\n\s*/.exec(this.text.slice(this.at)) : null;
      if (folded) this.at += folded[0].length;
      else if (this.peek() === "\\" && quotes === '"""') text += this.readEscape();
      else if (this.peek() === "\n") {
        this.at += 1;
        text += "\n";
      } else text += this.take(this.peek());
    }
    this.at += 3;
    // Up to two quotes may stand before the three that end it.
    for (let more = 0; more < 2 && this.peek() === quotes[0]; more += 1) text += this.take(this.peek());
    return text;
  }

  /** @param {string[]} path */
  readList(path) {
    const start = this.at;
    this.at += 1;
    /** @type {TomlValue[]} */
    const list = [];
    for (;;) {
      this.skipLines();
      if (this.peek() === "]") break;
      if (this.at < this.text.length) {
        list.push(this.readValue(path));
        this.skipLines();
      }
      if (this.at >= this.text.length) {
        this.at = start;
        this.fail("The list does not end; close it with ].");
      }
      if (this.peek() === ",") this.at += 1;
      else if (this.peek() !== "]") this.fail("Between the items of a list stands a comma.");
    }
    this.at += 1;
    return list;
  }

  /** @param {string[]} path */
  readInline(path) {
    this.at += 1;
    /** @type {TomlTable} */
    const table = Object.create(null);
    this.skipBlanks();
    while (this.peek() !== "}") {
      this.readPair(table, path);
      this.skipBlanks();
      if (this.peek() === "}") break;
      if (this.peek() !== ",") this.fail("The table does not end on its line; close it with }, with commas between its keys.");
      this.at += 1;
      this.skipBlanks();
      if (this.peek() === "}") this.fail("After the last key of a table in one line stands no comma.");
    }
    this.at += 1;
    this.close(table);
    return table;
  }

  /** What was written in one line is whole. @param {TomlTable} table */
  close(table) {
    this.closed.add(table);
    for (const inner of Object.values(table)) if (isTable(inner)) this.close(inner);
  }
}

/** @param {string} sign */
function isControl(sign) {
  return sign !== "\t" && (sign < " " || sign === "\x7f");
}

/** @param {unknown} value @returns {value is TomlTable} */
export function isTable(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** A value in one line of TOML. @param {TomlValue} value @returns {string} */
export function writeToml(value) {
  if (typeof value === "string") return writeText(value);
  if (Array.isArray(value)) return `[${value.map(writeToml).join(", ")}]`;
  if (isTable(value)) {
    const pairs = Object.entries(value).map(([key, inner]) => `${writeKey(key)} = ${writeToml(inner)}`);
    return pairs.length > 0 ? `{ ${pairs.join(", ")} }` : "{}";
  }
  return String(value);
}

/** @param {string} key */
export function writeKey(key) {
  return /^[A-Za-z0-9_-]+$/.test(key) ? key : writeText(key);
}

/** @param {string} text */
function writeText(text) {
  // Half a sign, which a phone's text field may cut off, can stand in no file.
  const whole = text.replace(/\p{Surrogate}/gu, "\ufffd");
  const escaped = whole.replace(/[\\"\x00-\x1f\x7f]/g, (sign) => {
    const short = Object.keys(ESCAPES).find((letter) => ESCAPES[letter] === sign);
    return short ? `\\${short}` : `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`;
  });
  return `"${escaped}"`;
}
