// The cloth of a plan with a figure, in the drawings of its finished piece.

import { CALCULATOR, figureOf, ofPlan } from "./kept-figure.mjs";
import { link, make, root } from "./parts.mjs";
import { ask } from "./runtime.mjs";

const SVG = "http://www.w3.org/2000/svg";
const PATTERN = /^M([\d.]+) ([\d.]+)H([\d.]+)v([\d.]+)/; // what is woven in units, as the package draws it
let last = { asked: "" }; // a drawing on the page, on a card and on the sheet is of one cloth

async function clothOf(plan) {
  if (plan.calculator !== CALCULATOR) return null;
  const grid = plan.figure ?? (await figureOf(await ofPlan(plan)))?.figure;
  if (!grid) return null;
  const request = { call: "cloth", picture: "plate", id: plan.calculator, planned: plan.inputs, grid, units: plan.units };
  const asked = JSON.stringify(request);
  if (last.asked !== asked) last = { asked, reply: ask(request) };
  try {
    return await last.reply;
  } catch {
    last = { asked: "" };
    return null; // the drawing does without
  }
}

/** Put the cloth of a plan's figure into each drawing of its piece at a place; gives whether there is one. */
export async function clothe(place, plan) {
  const reply = await clothOf(plan);
  if (!reply?.png) return false;
  for (const drawing of place.querySelectorAll(".ft-piece:not(:has(image))")) {
    const pattern = drawing.querySelector(".ft-piece-pattern");
    const [, x, y, right, height] = PATTERN.exec(pattern.getAttribute("d"));
    const image = document.createElementNS(SVG, "image");
    const at = { x, y, width: right - x, height, preserveAspectRatio: "none", href: `data:image/png;base64,${reply.png}` };
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
