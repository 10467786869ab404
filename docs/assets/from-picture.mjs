// A picture that the weaver picked or photographed, brought down to units.

import { made, MOST_ACROSS, MOST_UP, unpacked } from "./grid.mjs";
import { actions, button, labelled, make } from "./parts.mjs";
import { ask, inWords, watch } from "./runtime.mjs";

const MOST = 2000; // points a side; more shows nothing more in units
const EDGES = ["left", "right", "top", "bottom"];
const NOT_OPENED = "This browser cannot open this picture: it is damaged, or of a kind that it does not know. PNG and JPEG are opened everywhere.";

/** Decode a picture, turned as it was held, no larger than is wanted: {across, up, bytes}, red green blue and opacity. */
export async function decoded(file) {
  let bitmap;
  try {
    bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch {
    throw new RangeError(NOT_OPENED);
  }
  const by = Math.min(1, MOST / Math.max(bitmap.width, bitmap.height));
  const [across, up] = [bitmap.width, bitmap.height].map((length) => Math.max(1, Math.round(length * by)));
  const canvas = Object.assign(document.createElement("canvas"), { width: across, height: up });
  const ink = canvas.getContext("2d", { willReadFrequently: true });
  ink.imageSmoothingQuality = "high";
  ink.drawImage(bitmap, 0, 0, across, up);
  bitmap.close();
  return { across, up, bytes: ink.getImageData(0, 0, across, up).data, canvas };
}

/** How light each point is on white paper, 0 to 255. */
function greys({ bytes }) {
  const grey = new Uint8Array(bytes.length / 4);
  for (let at = 0, from = 0; at < grey.length; at++, from += 4) {
    const light = 0.299 * bytes[from] + 0.587 * bytes[from + 1] + 0.114 * bytes[from + 2];
    grey[at] = Math.round(255 + ((light - 255) * bytes[from + 3]) / 255);
  }
  return grey;
}

/** A picture of one pixel a unit as its grid: it has two tones only, and is no larger than a figure. */
export function squaresOf(picture) {
  const { across, up } = picture;
  if (across > MOST_ACROSS || up > MOST_UP) return null;
  const grey = greys(picture);
  if (grey.some((light) => light > 25 && light < 230)) return null;
  return made(across, up, (unit, row) => grey[(up - 1 - row) * across + unit] < 128);
}

/** Write bytes as letters, a piece at a time: a call takes no more arguments than a stack holds. */
function letters(bytes) {
  let text = "";
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
}

function choice(name, words, options) {
  const select = Object.assign(make("select", ""), { name });
  for (const [value, text] of options) select.append(Object.assign(make("option", "", text), { value }));
  return labelled(words, select);
}

function number(name, words, value, most, least = 1) {
  return labelled(words, Object.assign(make("input", ""), { name, value, type: "number", inputMode: "numeric", min: least, max: most }));
}

/** Ask how a picture is to become units, show each try on the paper, until it is taken or left. */
export async function fromPicture(picture, place, facts, { lookAt, take }) {
  let ways;
  try {
    ({ ways } = await ask({ call: "motif" }));
  } catch (problem) {
    throw new RangeError(problem.message);
  }
  const grey = letters(greys(picture));
  picture.canvas.className = "ft-photograph";
  picture.canvas.setAttribute("role", "img");
  picture.canvas.setAttribute("aria-label", `The picture, ${picture.across} points across and ${picture.up} up`);
  const told = make("p", "ft-told");
  told.setAttribute("role", "status");
  const form = make("form", "ft-asking");
  const usual = Math.min(facts?.across ?? 100, MOST_ACROSS);
  const level = Object.assign(make("input", ""), { name: "level", type: "range", min: 1, max: 255, value: 128 });
  form.append(
    number("units_across", "Units across", usual, MOST_ACROSS),
    choice("way", "Reduced by", Object.entries(ways)),
    labelled("Darker than this is drawn", level),
    choice("drawn", "Drawn is", [["dark", "what is dark"], ["light", "what is light"]]),
  );
  const edges = make("details", "");
  edges.append(make("summary", "", "Cut off its edges"));
  for (const name of EDGES) edges.append(number(name, `Off the ${name}, in hundredths of the picture`, 0, 90, 0));
  form.append(edges);
  let found = null;
  let units = null; // the greys of the units, and what they are of: another level or way needs no more
  let round = 0;
  let settled = false; // the weaver has set the level
  const again = button("Draw it", () => go());
  const taken = button("Take it", () => {
    take(found);
    close();
  });
  const close = () => {
    round++;
    lookAt(null);
    place.replaceChildren();
  };
  taken.hidden = true;
  place.replaceChildren(picture.canvas, form, told, actions(again, taken, button("Leave it", close)));

  async function go() {
    const own = ++round;
    const value = (name) => form.querySelector(`[name="${name}"]`).value;
    const off = (name, length) => Math.round((length * Number(value(name))) / 100);
    const [left, top] = [off("left", picture.across), off("top", picture.up)];
    const part = [left, top, picture.across - left - off("right", picture.across), picture.up - top - off("bottom", picture.up)];
    const of = JSON.stringify([value("units_across"), value("drawn"), part]);
    const points = { grey, points_across: picture.across, points_up: picture.up, part, units_across: Number(value("units_across")), unit_width: facts?.wide ?? 1, unit_height: facts?.high ?? 1 };
    const request = { call: "picture", ...(units?.of === of ? units.points : points), way: value("way"), drawn: value("drawn"), ...(settled ? { level: Number(level.value) } : {}) };
    if (part[2] < 1 || part[3] < 1) {
      told.textContent = "So nothing is left of the picture. Cut off less.";
      return;
    }
    const release = watch((state) => own === round && (told.textContent = state.name === "ready" ? "The picture becomes units …" : inWords(state)));
    try {
      const reply = await ask(request);
      if (own !== round) return;
      if (!reply.ok) {
        told.textContent = reply.problem;
        return;
      }
      found = await unpacked(reply.grid);
      if (units?.of !== of) units = { of, points: { grey: reply.grey, points_across: reply.units_across, points_up: reply.units_up } };
      if (!settled) level.value = reply.level;
      told.textContent = `${found.across} units across and ${found.up} up. ${reply.words}`;
      taken.hidden = false;
      lookAt(found);
    } catch {
      // the state says why
    } finally {
      release();
    }
  }
  form.addEventListener("change", ({ target }) => {
    if (target === level) settled = true;
    else if (target.name !== "way") settled = false;
    go();
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  await go();
}
