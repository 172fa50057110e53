/** A queue that gives the least first; of equal ones the one that came first. */

/** @template T */
export class Heap {
  /** @type {{ rank: number[], value: T }[]} */
  #items = [];
  #count = 0;

  get size() {
    return this.#items.length;
  }

  /** The first number of the least rank. */
  get least() {
    return this.#items[0]?.rank[0] ?? Infinity;
  }

  /** @param {number[]} rank compared number by number @param {T} value */
  push(rank, value) {
    const item = { rank: [...rank, this.#count++], value };
    let at = this.#items.push(item) - 1;
    while (at > 0) {
      const up = (at - 1) >> 1;
      if (!this.#isLess(at, up)) return;
      this.#swap(at, up);
      at = up;
    }
  }

  /** @returns {[number[], T] | null} */
  pop() {
    const first = this.#items[0];
    if (!first) return null;
    const last = /** @type {{ rank: number[], value: T }} */ (this.#items.pop());
    if (this.#items.length) {
      this.#items[0] = last;
      this.#sink(0);
    }
    return [first.rank, first.value];
  }

  /** @param {number} at */
  #sink(at) {
    for (;;) {
      const left = 2 * at + 1;
      let least = at;
      for (const child of [left, left + 1]) if (child < this.#items.length && this.#isLess(child, least)) least = child;
      if (least === at) return;
      this.#swap(at, least);
      at = least;
    }
  }

  /** @param {number} one @param {number} other */
  #isLess(one, other) {
    const [a, b] = [this.#items[one]?.rank ?? [], this.#items[other]?.rank ?? []];
    for (let at = 0; at < a.length; at += 1) if (a[at] !== b[at]) return (a[at] ?? 0) < (b[at] ?? 0);
    return false;
  }

  /** @param {number} one @param {number} other */
  #swap(one, other) {
    [this.#items[one], this.#items[other]] = [/** @type {any} */ (this.#items[other]), /** @type {any} */ (this.#items[one])];
  }
}
