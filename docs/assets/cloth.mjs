// The cloth of a plan with a figure, in the drawings of its finished piece.

import { NAME } from "./address.mjs";
import { CALCULATOR, figureOf, ofPlan } from "./kept-figure.mjs";
import { link, make, root } from "./parts.mjs";
import { ask } from "./runtime.mjs";
import * as store from "./store.mjs";

const CLOTHS = "cloths"; // one for each figure that is kept
const SVG = "http://www.w3.org/2000/svg";
const PATTERN = /^M([\d.]+) ([\d.]+)H([\d.]+)v([\d.]+)/; // what is woven in units, as the package draws it
let last = { asked: "" }; // a drawing on the page, on a card and on the sheet is of one cloth

const pictureOf = (png) => `data:image/png;base64,${png}`;

/** What is asked of the package, and what the figure is kept under; nothing where a plan has no figure. */
async function wish(plan) {
  const drawn = plan.calculator === CALCULATOR && (await figureOf(await ofPlan(plan)));
  const grid = plan.figure || drawn?.figure;
  if (!grid) return null;
  const { inputs: planned, units = "" } = plan;
  const request = { call: "cloth", picture: "plate", id: CALCULATOR, planned, grid, units };
  const filled = Object.entries(planned).filter(([name, typed]) => typed && name !== NAME).sort();
  return { request, asked: JSON.stringify([filled, grid, units]), key: drawn?.key };
}

async function clothOf(plan) {
  const wanted = await wish(plan);
  if (!wanted) return null;
  const { request, asked, key } = wanted;
  if (last.asked !== asked) last = { asked, reply: ask(request) };
  try {
    const reply = await last.reply;
    if (reply.png && key) await store.write(CLOTHS, key, { asked, png: reply.png, words: reply.words });
    return reply;
  } catch {
    last = { asked: "" };
    return null; // the drawing does without
  }
}

/** The cloth of a plan as it was last drawn for just these numbers and this figure, or nothing. */
export async function seenCloth(plan) {
  const wanted = await wish(plan);
  const found = wanted && (await store.all(CLOTHS)).find(({ asked }) => asked === wanted.asked);
  return found ? Object.assign(make("img", "ft-woven"), { src: pictureOf(found.png), alt: found.words }) : "";
}

/** Put the cloth of a plan's figure into each drawing of its piece at a place; gives whether there is one. */
export async function clothe(place, plan) {
  const reply = await clothOf(plan);
  if (!reply?.png) return false;
  for (const drawing of place.querySelectorAll(".ft-piece:not(:has(image))")) {
    const pattern = drawing.querySelector(".ft-piece-pattern");
    const [, x, y, right, height] = PATTERN.exec(pattern.getAttribute("d"));
    const image = document.createElementNS(SVG, "image");
    const at = { x, y, width: right - x, height, preserveAspectRatio: "none", href: pictureOf(reply.png) };
    for (const [name, value] of Object.entries(at)) image.setAttribute(name, value);
    drawing.querySelector(".ft-piece-net").setAttribute("stroke-opacity", 0.12);
    drawing.querySelector(".ft-piece-border")?.setAttribute("fill", "none");
    pattern.after(image);
    drawing.querySelector("desc").append(` ${reply.words}`);
    const words = make("p", "ft-soft ft-of-cloth", `${reply.words} `);
    words.append(link("What it shows, and what not", new URL("structures/what-you-will-see/", root)));
    drawing.after(words);
  }
  return true;
}
