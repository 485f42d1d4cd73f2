// Unpacks the app's wasm file, which the release build packs (tests/runner/src/pack.rs): four bytes of length, lowest
// first, then a raw LZMA stream with lc = 4, lp = 0, pb = 0, as described in the public-domain LZMA specification.
// Half of what a server's own compression would leave is saved, and a server that compresses nothing sends it too.
// Must never hand out bytes of which it is not sure: a stream that breaks off or runs over is an error.
// tests/runner puts this text into the page without its comments, so a comment has a line of its own.

/** All at once. */
function unpack(packed) {
  return unpacking(packed)(Infinity);
}

/** A function that unpacks up to so many bytes and returns them all once there are no more. */
function unpacking(packed) {
  const LC = 4;
  const size = packed[0] + packed[1] * 256 + packed[2] * 65536 + packed[3] * 16777216;
  const out = new Uint8Array(size);
  // All probabilities in one table; the numbers are where each kind begins.
  const MATCH = 0, REP = 16, REP_0 = 32, REP_1 = 48, REP_2 = 64, REP_0_LONG = 80, SLOT = 96, SPECIAL = 352;
  const ALIGN = 480, LENGTH = 496, REP_LENGTH = 1024, LITERAL = 1552;
  const chance = new Uint16Array(LITERAL + (0x300 << LC)).fill(1024);
  let at = 4;
  let range = -1 >>> 0;
  let code = 0;
  for (let n = 0; n < 5; n += 1) code = ((code << 8) | packed[at++]) >>> 0;

  function bit(index) {
    const likely = chance[index];
    const bound = (range >>> 11) * likely;
    let found = 0;
    if (code < bound) {
      range = bound;
      chance[index] = likely + ((2048 - likely) >>> 5);
    } else {
      found = 1;
      range -= bound;
      code -= bound;
      chance[index] = likely - (likely >>> 5);
    }
    if (range < 16777216) {
      range = (range << 8) >>> 0;
      code = ((code << 8) | packed[at++]) >>> 0;
    }
    return found;
  }
  function tree(start, bits) {
    let node = 1;
    for (let n = 0; n < bits; n += 1) node = node * 2 + bit(start + node);
    return node - (1 << bits);
  }
  function reversed(start, bits) {
    let node = 1;
    let value = 0;
    for (let n = 0; n < bits; n += 1) {
      const found = bit(start + node);
      node = node * 2 + found;
      value += found << n;
    }
    return value;
  }
  // Bits that are as likely as not.
  function plain(bits) {
    let value = 0;
    for (let n = 0; n < bits; n += 1) {
      range >>>= 1;
      let found = 0;
      if (code >= range) {
        code -= range;
        found = 1;
      }
      if (range < 16777216) {
        range = (range << 8) >>> 0;
        code = ((code << 8) | packed[at++]) >>> 0;
      }
      value = value * 2 + found;
    }
    return value;
  }
  function length(start) {
    if (!bit(start)) return 2 + tree(start + 2, 3);
    return bit(start + 1) ? 18 + tree(start + 272, 8) : 10 + tree(start + 138, 3);
  }

  let done = 0;
  let state = 0;
  let back = 1, back1 = 1, back2 = 1, back3 = 1;
  // One literal or one match; false where the stream is damaged.
  function goOn() {
    if (!bit(MATCH + state)) {
      const base = LITERAL + 0x300 * ((done ? out[done - 1] : 0) >>> (8 - LC));
      let symbol = 1;
      if (state >= 7) {
        let hint = out[done - back];
        do {
          const wanted = (hint >>> 7) & 1;
          hint <<= 1;
          const found = bit(base + ((1 + wanted) << 8) + symbol);
          symbol = symbol * 2 + found;
          if (found !== wanted) break;
        } while (symbol < 256);
      }
      while (symbol < 256) symbol = symbol * 2 + bit(base + symbol);
      out[done++] = symbol;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      return true;
    }
    let count;
    if (bit(REP + state)) {
      if (!bit(REP_0 + state)) {
        if (!bit(REP_0_LONG + state)) {
          out[done] = out[done - back];
          done += 1;
          state = state < 7 ? 9 : 11;
          return true;
        }
      } else {
        let chosen = back1;
        if (bit(REP_1 + state)) {
          chosen = back2;
          if (bit(REP_2 + state)) {
            chosen = back3;
            back3 = back2;
          }
          back2 = back1;
        }
        back1 = back;
        back = chosen;
      }
      count = length(REP_LENGTH);
      state = state < 7 ? 8 : 11;
    } else {
      back3 = back2;
      back2 = back1;
      back1 = back;
      count = length(LENGTH);
      state = state < 7 ? 7 : 10;
      const slot = tree(SLOT + 64 * Math.min(count - 2, 3), 6);
      back = slot;
      if (slot >= 4) {
        const bits = (slot >>> 1) - 1;
        back = (2 + (slot & 1)) * 2 ** bits;
        back += slot < 14 ? reversed(SPECIAL + back - slot, bits) : plain(bits - 4) * 16 + reversed(ALIGN, 4);
      }
      back += 1;
    }
    if (back > done || done + count > size || at > packed.length) return false;
    for (const end = done + count; done < end; done += 1) out[done] = out[done - back];
    return true;
  }
  return (limit) => {
    let sound = true;
    while (sound && done < size && done < limit) sound = goOn();
    if (sound && done < size) return undefined;
    if (done !== size || at > packed.length) throw new Error("The app's file arrived damaged. Load the page again.");
    return out;
  };
}
