// A picture that the weaver picked or photographed, brought down to units.

import { made, MOST_ACROSS, MOST_UP, unpacked } from "./grid.mjs";
import { actions, button, labelled, make } from "./parts.mjs";
import { ask, inWords, watch } from "./runtime.mjs";

const MOST = 2000; // points a side; more shows nothing more in units
const MOST_OPENED = 100e6; // points in all; each takes four bytes of a phone's memory while it is read
const HEAD = 1 << 19; // bytes in which a picture says its size
const EDGES = ["left", "right", "top", "bottom"];
const NOT_OPENED = "This browser cannot open this picture: it is damaged, or of a kind that it does not know. PNG and JPEG are opened everywhere.";
const points = (across, up) => `${across.toLocaleString("fr")} × ${up.toLocaleString("fr")} points`;

/** How large a picture is, turned as it was held, as its head says; nothing where it does not say. */
async function sizeOf(file) {
  const reader = new FileReader();
  const read = new Promise((done) => (reader.onloadend = done));
  reader.readAsDataURL(file.slice(0, HEAD, file.type));
  await read;
  const head = new Image();
  const known = new Promise((done) => (head.onload = head.onerror = done));
  head.src = reader.result;
  await known;
  return head.naturalWidth ? [head.naturalWidth, head.naturalHeight] : null;
}

const noLarger = (size) => {
  const by = Math.min(1, MOST / Math.max(...size));
  return size.map((length) => Math.max(1, Math.round(length * by)));
};

/** Decode a picture, turned as it was held, no larger than is wanted: {across, up, bytes}, red green blue and opacity. */
export async function decoded(file, { tell, signal }) {
  const size = await sizeOf(file);
  if (size && size[0] * size[1] > MOST_OPENED) {
    throw new RangeError(`The picture has ${points(...size)}, too many to read on a phone. Make it smaller first: ${MOST} points along its longer side are plenty.`);
  }
  signal.throwIfAborted();
  if (size) tell(`The picture is being read: ${points(...size)}.`);
  const [resizeWidth, resizeHeight] = size ? noLarger(size) : [];
  const smaller = size && resizeWidth < size[0] ? { resizeWidth, resizeHeight, resizeQuality: "medium" } : {};
  let bitmap;
  try {
    bitmap = await createImageBitmap(file, { imageOrientation: "from-image", ...smaller });
  } catch {
    throw new RangeError(NOT_OPENED);
  }
  const [across, up] = noLarger([bitmap.width, bitmap.height]);
  const canvas = Object.assign(document.createElement("canvas"), { width: across, height: up });
  const ink = canvas.getContext("2d", { willReadFrequently: true });
  ink.imageSmoothingQuality = "high";
  if (!signal.aborted) ink.drawImage(bitmap, 0, 0, across, up);
  bitmap.close();
  signal.throwIfAborted();
  return { across, up, bytes: ink.getImageData(0, 0, across, up).data, canvas };
}

/** How light each point is, 0 to 255 (ITU-R BT.601), laid on what shows where it is transparent. */
function greys({ bytes }, under = 255) {
  const grey = new Uint8Array(bytes.length / 4);
  for (let at = 0, from = 0; at < grey.length; at++, from += 4) {
    const light = (19595 * bytes[from] + 38470 * bytes[from + 1] + 7471 * bytes[from + 2] + 32768) >> 16;
    const opacity = bytes[from + 3];
    grey[at] = opacity === 255 ? light : Math.round((light * opacity + under * (255 - opacity)) / 255);
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

function choice(name, words, options) {
  const select = Object.assign(make("select", ""), { name });
  for (const [value, text] of options) select.append(Object.assign(make("option", "", text), { value }));
  return labelled(words, select);
}

function number(name, words, value, most, least = 1) {
  return labelled(words, Object.assign(make("input", ""), { name, value, type: "number", inputMode: "numeric", min: least, max: most }));
}

/** Ask how a picture is to become units, show each try on the paper, until it is taken or left. */
export async function fromPicture(picture, place, facts, { lookAt, take, signal }) {
  let ways;
  try {
    ({ ways } = await ask({ call: "motif" }));
  } catch (problem) {
    throw new RangeError(problem.message);
  }
  signal.throwIfAborted();
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
  const light = {}; // the greys of the picture, laid on what will be at rest
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
  signal.addEventListener("abort", close);
  taken.hidden = true;
  place.replaceChildren(picture.canvas, form, told, actions(again, taken, button("Leave it", close)));

  async function go() {
    const own = ++round;
    const value = (name) => form.querySelector(`[name="${name}"]`).value;
    const off = (name, length) => Math.round((length * Number(value(name))) / 100);
    const [left, top] = [off("left", picture.across), off("top", picture.up)];
    const part = [left, top, picture.across - left - off("right", picture.across), picture.up - top - off("bottom", picture.up)];
    const drawn = value("drawn");
    const of = JSON.stringify([value("units_across"), drawn, part]);
    const whole = { points_across: picture.across, points_up: picture.up, part, units_across: Number(value("units_across")), unit_width: facts?.wide ?? 1, unit_height: facts?.high ?? 1 };
    const known = units?.of === of;
    const request = { call: "picture", ...(known ? units.size : whole), way: value("way"), drawn, ...(settled ? { level: Number(level.value) } : {}) };
    if (part[2] < 1 || part[3] < 1) {
      told.textContent = "So nothing is left of the picture. Cut off less.";
      return;
    }
    const release = watch((state) => own === round && (told.textContent = state.name === "ready" ? "The picture becomes units …" : inWords(state)));
    try {
      light[drawn] ??= greys(picture, drawn === "dark" ? 255 : 0);
      const reply = await ask(request, known ? units.grey : light[drawn]);
      if (own !== round) return;
      if (!reply.ok) {
        told.textContent = reply.problem;
        return;
      }
      found = await unpacked(reply.grid);
      if (!known) {
        const grey = Uint8Array.from(atob(reply.grey), (letter) => letter.charCodeAt(0));
        units = { of, grey, size: { points_across: reply.units_across, points_up: reply.units_up } };
      }
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
