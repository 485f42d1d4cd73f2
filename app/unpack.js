// Unpacks the app's wasm file, which the release build packs (tests/runner/src/pack.rs): four bytes of length, lowest
// first, then a raw LZMA stream with lc = 4, lp = 0, pb = 0, as described in the public-domain LZMA specification.
// Half of what a server's own compression would leave is saved, and a server that compresses nothing sends it too.
// Must never hand out bytes of which it is not sure: a stream that breaks off or runs over is an error.
// tests/runner puts this text into the page without its comments, so a comment has a line of its own.
// The start waits for this, and it runs once, hardly warm: loops over bits keep what they need in variables of their own.

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
  // Numbers of 32 bits, which this keeps as such: the range, the code, and where the next byte is.
  const RANGE = 0, CODE = 1, AT = 2;
  const coder = new Uint32Array([0xffffffff, 0, 4]);
  for (let n = 0; n < 5; n += 1) coder[CODE] = (coder[CODE] << 8) | packed[coder[AT]++];

  // So many bits, each by the chance of its node, behind a highest bit of 1. With `hint` (a byte; 0 is none of it) each
  // bit goes by what the hint has there, for as long as they agree.
  function tree(start, bits, hint, known) {
    let range = coder[RANGE];
    let code = coder[CODE];
    let at = coder[AT];
    let node = 1;
    for (let n = 0; n < bits; n += 1) {
      hint <<= 1;
      const wanted = hint & known;
      const index = start + known + wanted + node;
      const likely = chance[index];
      const bound = Math.imul(range >>> 11, likely) >>> 0;
      if (code < bound) {
        range = bound;
        chance[index] = likely + ((2048 - likely) >>> 5);
        node <<= 1;
        known &= ~wanted;
      } else {
        range = (range - bound) >>> 0;
        code = (code - bound) >>> 0;
        chance[index] = likely - (likely >>> 5);
        node = (node << 1) | 1;
        known &= wanted;
      }
      if (range < 16777216) {
        range = (range << 8) >>> 0;
        code = ((code << 8) | packed[at++]) >>> 0;
      }
    }
    coder[RANGE] = range;
    coder[CODE] = code;
    coder[AT] = at;
    return node;
  }
  function bit(index) {
    return tree(index - 1, 1, 0, 0) & 1;
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
      let range = coder[RANGE] >>> 1;
      let found = 0;
      if (coder[CODE] >= range) {
        coder[CODE] -= range;
        found = 1;
      }
      if (range < 16777216) {
        range <<= 8;
        coder[CODE] = (coder[CODE] << 8) | packed[coder[AT]++];
      }
      coder[RANGE] = range;
      value = value * 2 + found;
    }
    return value;
  }
  function length(start) {
    if (!bit(start)) return tree(start + 2, 3, 0, 0) - 6;
    return bit(start + 1) ? tree(start + 272, 8, 0, 0) - 238 : tree(start + 138, 3, 0, 0) + 2;
  }

  let done = 0;
  let state = 0;
  let back = 1, back1 = 1, back2 = 1, back3 = 1;
  // One literal or one match; false where the stream is damaged.
  function goOn() {
    if (!bit(MATCH + state)) {
      const base = LITERAL + 0x300 * ((done ? out[done - 1] : 0) >>> (8 - LC));
      out[done] = state < 7 ? tree(base, 8, 0, 0) : tree(base, 8, out[done - back], 256);
      done += 1;
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
      const slot = tree(SLOT + 64 * Math.min(count - 2, 3), 6, 0, 0) - 64;
      back = slot;
      if (slot >= 4) {
        const bits = (slot >>> 1) - 1;
        back = (2 + (slot & 1)) * 2 ** bits;
        back += slot < 14 ? reversed(SPECIAL + back - slot, bits) : plain(bits - 4) * 16 + reversed(ALIGN, 4);
      }
      back += 1;
    }
    if (back > done || done + count > size || coder[AT] > packed.length) return false;
    for (const end = done + count; done < end; done += 1) out[done] = out[done - back];
    return true;
  }
  return (limit) => {
    let sound = true;
    while (sound && done < size && done < limit) sound = goOn();
    if (sound && done < size) return undefined;
    if (done !== size || coder[AT] > packed.length) throw new Error("The app's file arrived damaged. Load the page again.");
    return out;
  };
}
