// What a number without a unit means to the reader, and how it is written out with its unit, so that
// it goes on meaning the same when the reader begins to count in another.

export const UNITS = { metric: "cm", imperial: "inch" };

const FIGURE = String.raw`[\p{N}\s.,/⁄∕+\-‐‑‒–—−]*\p{N}[\s.,]*(?:e[-+]?\d+\s*)?`;
const BARE = new RegExp(`^${FIGURE}$`, "iu");
const COUNTED = new RegExp(`^${FIGURE}(?:ends?|picks?|threads?|dents?|[epd])\\s*$`, "iu"); // 24 ends: of what?
const IN_TEN = /^[\d.,\s]+\/\s*10\s*$/; // 60/10, a reed
const PLAIN = /^[\d.,]+$/;

const lengths = { "": "cm", cm: "cm", inch: "in" };
const weights = { "": "g", cm: "g", inch: "oz" };
const reeds = { "": "per inch", cm: "per 10 cm", inch: "per inch" };
const LISTED = /([;；\n]|[,，](?!\d)|\band\b|[+&])/i;

// Lines: how many parts come before the figures, and what each heading counts.
const LOOM = /^\s*loom\s*[:;]/i;
const LOOM_PARTS = [
  [/^(?:width|waste|front|ground|between|behind)\b\s*/i, lengths],
  [/^longest\b\s*/i, { "": "m", cm: "m", inch: "yd" }],
  [/^reeds\b\s*/i, reeds],
];
const PARTS = {
  cones: [[/^(?:(?:gross|empty|net|step)\b[:\s]*)?/i, weights]],
  records: [[/^waste\b\s*/i, lengths]],
};

function figure(text, words) {
  const isReed = words === reeds.cm || words === reeds.inch;
  const isBare = BARE.test(text) || (words.startsWith("per ") && COUNTED.test(text));
  if (!isBare || (isReed && IN_TEN.test(text))) return text;
  const [, before, plain, after] = /^(\s*)(.*?)(\s*)$/s.exec(text);
  return before + plain + (words === reeds.cm && PLAIN.test(plain) ? "/10" : ` ${words}`) + after;
}

const list = (text, words) =>
  text.split(LISTED).map((part, place) => (place % 2 ? part : figure(part, words))).join("");

function line(text, headings, units) {
  const named = LOOM.test(text) ? 1 : 2; // a loom's name; a name and a yarn
  const part = (whole) => {
    const [, space, typed] = /^(\s*)(.*)$/s.exec(whole);
    for (const [heading, words] of headings) {
      const head = heading.exec(typed)?.[0];
      if (head !== undefined) return space + head + list(typed.slice(head.length), words[units]);
    }
    return whole;
  };
  return text.split(";").map((whole, place) => (place < named ? whole : part(whole))).join(";");
}

/**
 * Write out the unit of what was typed bare; all else stays as it was typed.
 *
 * A field is {name, kind, words}; `words` are its unit to each reader, {"": "cm", cm: "m", inch: "yd"}.
 */
export function writtenOut(text, { name, kind, words }, units) {
  if (!words) return text;
  if (kind === "lines") {
    if (/^\s*\{|^[^\n;]*,/.test(text)) return text; // a file or a table: its figures are always cm and g
    const headings = (each) => (LOOM.test(each) ? LOOM_PARTS : PARTS[name]);
    return text.split("\n").map((each) => line(each, headings(each), units)).join("\n");
  }
  if (kind === "text") return list(words.cm === reeds.cm ? text.replace(/(\d),(?=\d)/g, "$1, ") : text, words[units]);
  return figure(text, words[units]);
}

/** Take a text from one reader to another: written out where it would mean something else there. */
export function carried(text, field, from, to) {
  const differs = field.kind === "lines" ? (from || UNITS.metric) !== to : field.words?.[from] !== field.words?.[to];
  return differs ? writtenOut(text, field, from) : text;
}
