// Squared paper on a canvas: shows a grid in the cloth's proportions, and hears fingers, mouse and keys.

import { isDrawn } from "./grid.mjs";

const MARGIN = { left: 30, low: 20 }; // for the numbers
const LEAST = 1; // pixels a unit
const MOST = 64;
const LINED = 5; // pixels a unit, below which only every tenth line is drawn

/**
 * Bind a canvas. `on` hears begin(place), drag(place), end(), cancel() of a stroke, turn(place) of the space bar,
 * at(place) of the cursor; `on.slides()` tells whether a finger moves the paper instead.
 */
export function bindSheet(canvas, on) {
  const ink = canvas.getContext("2d");
  const squares = document.createElement("canvas"); // a pixel a unit
  const dots = squares.getContext("2d");
  let grid = null;
  let tall = 1; // height of a unit, its width being 1
  let scale = 8;
  let [left, low] = [0, 0]; // what lies outside to the left and below, in pixels
  let cursor = [0, 0];
  let chosen = null;
  let wrong = [];
  let colours = {};
  let frame = 0;
  let dirty = null; // the part to be drawn anew, or all of it

  // Showing ----------------------------------------------------------------------------------

  const wide = () => canvas.clientWidth - MARGIN.left;
  const high = () => canvas.clientHeight - MARGIN.low;
  const x = (unit) => MARGIN.left + unit * scale - left;
  const y = (row) => high() - (row * scale * tall - low);

  function readColours() {
    const style = getComputedStyle(canvas);
    for (const name of ["warp", "sheet", "fold", "line", "edge", "ink", "mark"]) colours[name] = style.getPropertyValue(`--ft-${name}`).trim();
    const probe = document.createElement("canvas").getContext("2d");
    probe.fillStyle = colours.warp;
    probe.fillRect(0, 0, 1, 1);
    colours.bytes = probe.getImageData(0, 0, 1, 1).data;
  }

  /** Hold the paper within its frame. */
  function hold() {
    const keep = (at, length, room) => (length <= room ? (length - room) / 2 : Math.min(Math.max(at, -20), length - room + 20));
    left = keep(left, grid.across * scale, wide());
    low = keep(low, grid.up * scale * tall, high());
  }

  function later(part = null) {
    if (!frame) dirty = part;
    else if (dirty && part) {
      const [unit, row] = [Math.min(dirty.unit, part.unit), Math.min(dirty.row, part.row)];
      dirty = {
        unit, row,
        across: Math.max(dirty.unit + dirty.across, part.unit + part.across) - unit,
        up: Math.max(dirty.row + dirty.up, part.row + part.up) - row,
      };
    } else dirty = null;
    frame ||= requestAnimationFrame(draw);
  }

  function draw() {
    frame = 0;
    if (!grid || !canvas.clientWidth) return;
    const dense = devicePixelRatio;
    const size = [Math.round(canvas.clientWidth * dense), Math.round(canvas.clientHeight * dense)];
    if (canvas.width !== size[0] || canvas.height !== size[1]) {
      [canvas.width, canvas.height] = size;
      hold();
      dirty = null;
    }
    ink.setTransform(dense, 0, 0, dense, 0, 0);
    ink.save();
    ink.beginPath();
    if (dirty) ink.rect(x(dirty.unit) - 3, y(dirty.row + dirty.up) - 3, dirty.across * scale + 6, dirty.up * scale * tall + 6);
    else ink.rect(0, 0, canvas.clientWidth, canvas.clientHeight);
    ink.clip();
    ink.clearRect(0, 0, canvas.clientWidth, canvas.clientHeight);
    ink.save();
    ink.beginPath();
    ink.rect(MARGIN.left, 0, wide(), high());
    ink.clip();
    ink.fillStyle = colours.sheet;
    ink.fillRect(x(0), y(grid.up), grid.across * scale, grid.up * scale * tall);
    ink.imageSmoothingEnabled = false;
    ink.drawImage(squares, x(0), y(grid.up), grid.across * scale, grid.up * scale * tall);
    rule();
    for (const [part, colour, width] of [...wrong.map((part) => [part, colours.mark, 3]), ...(chosen ? [[chosen, colours.mark, 2]] : [])]) outline(part, colour, width);
    if (document.activeElement === canvas) outline({ unit: cursor[0], row: cursor[1], across: 1, up: 1 }, colours.mark, 3);
    ink.restore();
    number();
    ink.restore();
  }

  function outline({ unit, row, across, up }, colour, width) {
    ink.strokeStyle = colours.sheet;
    ink.lineWidth = width + 2;
    const box = [x(unit) - 1, y(row + up) - 1, Math.max(across * scale, 3) + 2, Math.max(up * scale * tall, 3) + 2];
    ink.strokeRect(...box);
    ink.strokeStyle = colour;
    ink.lineWidth = width;
    ink.strokeRect(...box);
  }

  const seen = () => ({
    from: [Math.max(0, Math.floor(left / scale)), Math.max(0, Math.floor(low / scale / tall))],
    to: [Math.min(grid.across, Math.ceil((left + wide()) / scale)), Math.min(grid.up, Math.ceil((low + high()) / scale / tall))],
  });

  /** Hairlines for every unit where there is room, bolder ones every ten, as on point paper. */
  function rule() {
    const { from, to } = seen();
    const lines = (step, colour, width) => {
      ink.strokeStyle = colour;
      ink.lineWidth = width;
      ink.beginPath();
      for (let unit = Math.ceil(from[0] / step) * step; unit <= to[0]; unit += step) {
        ink.moveTo(x(unit), y(to[1]));
        ink.lineTo(x(unit), y(from[1]));
      }
      for (let row = Math.ceil(from[1] / step) * step; row <= to[1]; row += step) {
        ink.moveTo(x(from[0]), y(row));
        ink.lineTo(x(to[0]), y(row));
      }
      ink.stroke();
    };
    if (scale >= LINED) lines(1, colours.line, 1);
    lines(10, colours.edge, scale >= LINED ? 1.5 : 0.5);
    ink.strokeRect(x(0), y(grid.up), grid.across * scale, grid.up * scale * tall);
  }

  function number() {
    const { from, to } = seen();
    ink.fillStyle = colours.ink;
    ink.font = `500 13px ${getComputedStyle(canvas).fontFamily}`;
    const every = (room, most) => [1, 10, 20, 50, 100, 200, 500].find((step) => step * room >= most && step >= 10);
    ink.textAlign = "center";
    ink.textBaseline = "alphabetic";
    const across = every(scale, 30);
    for (let unit = Math.ceil((from[0] + 1) / across) * across; unit <= to[0]; unit += across) {
      if (x(unit) < canvas.clientWidth - 6) ink.fillText(unit, x(unit - 0.5), Math.min(y(from[1]) + 15, canvas.clientHeight - 5));
    }
    ink.textAlign = "right";
    ink.textBaseline = "middle";
    const up = every(scale * tall, 18);
    for (let row = Math.ceil((from[1] + 1) / up) * up; row <= to[1]; row += up) {
      if (y(row - 0.5) > 6) ink.fillText(row, Math.max(x(from[0]) - 4, MARGIN.left - 4), y(row - 0.5));
    }
  }

  /** Colour the squares that have changed, or all of them; the part that has. */
  function colour(before) {
    const anew = !before || before.across !== grid.across || before.up !== grid.up;
    if (anew) [squares.width, squares.height] = [grid.across, grid.up];
    let [first, last, begin, end] = anew ? [0, grid.across - 1, 0, grid.up - 1] : [grid.across, -1, grid.up, -1];
    if (!anew) {
      for (let row = 0, place = 0; row < grid.up; row++) {
        for (let unit = 0; unit < grid.across; unit++, place++) {
          if (grid.cells[place] === before.cells[place]) continue;
          if (unit < first) first = unit;
          if (unit > last) last = unit;
          if (row < begin) begin = row;
          end = row;
        }
      }
      if (last < 0) return null;
    }
    const part = { unit: first, row: begin, across: last - first + 1, up: end - begin + 1 };
    const picture = dots.createImageData(part.across, part.up);
    for (let row = 0, at = 0; row < part.up; row++) {
      for (let unit = 0; unit < part.across; unit++, at += 4) {
        if (isDrawn(grid, part.unit + unit, end - row)) picture.data.set(colours.bytes, at);
      }
    }
    dots.putImageData(picture, first, grid.up - 1 - end);
    return anew ? undefined : part;
  }

  /** Show a grid; only what has changed is drawn anew. */
  function show(next) {
    const before = grid;
    if (before === next) return;
    grid = next;
    const part = colour(before);
    if (part === undefined) {
      cursor = cursor.map((at, axis) => Math.min(at, [grid.across, grid.up][axis] - 1));
      fit();
    } else if (part) later(part);
  }

  function fit() {
    if (!grid || !canvas.clientWidth) return;
    const needed = (wide() - 8) * (grid.up * tall / grid.across) + MARGIN.low + 8;
    canvas.style.height = `min(70vh, ${Math.round(Math.min(Math.max(needed, 200), 640))}px)`;
    scale = Math.min(MOST, Math.max(LEAST, Math.min((wide() - 8) / grid.across, (high() - 8) / grid.up / tall)));
    hold();
    later();
  }

  /** Bring the paper nearer or farther, holding what lies under a point of the canvas. */
  function zoom(by, [px, py] = [MARGIN.left + wide() / 2, high() / 2]) {
    const next = Math.min(MOST, Math.max(LEAST, scale * by));
    const [unit, row] = [(px - MARGIN.left + left) / scale, (high() - py + low) / scale];
    scale = next;
    left = unit * scale - (px - MARGIN.left);
    low = row * scale - (high() - py);
    hold();
    later();
  }

  /** Bring a place into sight, near enough to be seen. */
  function reveal([unit, row]) {
    if (scale < 6) scale = 14;
    const slide = (at, from, room, size) => (at - size < from || at + 2 * size > from + room ? at - room / 2 : from);
    left = slide(unit * scale, left, wide(), scale);
    low = slide(row * scale * tall, low, high(), scale * tall);
    hold();
    later();
  }

  // Fingers and mouse ------------------------------------------------------------------------

  const fingers = new Map();
  let doing = ""; // a stroke, or the paper is being moved
  let waiting = null; // the last place of the stroke, until the next frame
  let hands = null;
  let moving = 0;

  const pointOf = (event) => [event.offsetX, event.offsetY];
  const placeAt = ([px, py]) => [Math.floor((px - MARGIN.left + left) / scale), Math.floor((high() - py + low) / scale / tall)];

  function middle() {
    const all = [...fingers.values()];
    const at = [0, 1].map((axis) => all.reduce((sum, one) => sum + one[axis], 0) / all.length);
    return { at, apart: all.length > 1 ? Math.hypot(all[0][0] - all[1][0], all[0][1] - all[1][1]) : 0 };
  }

  function follow() {
    moving = 0;
    if (waiting) on.drag((cursor = waiting));
    waiting = null;
  }

  canvas.addEventListener("pointerdown", (event) => {
    if (event.button > 0 || !grid) return;
    canvas.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, pointOf(event));
    if (fingers.size === 1 && !on.slides()) {
      doing = "stroke";
      cursor = placeAt(pointOf(event));
      on.begin(cursor);
    } else {
      if (doing === "stroke") on.cancel(); // two fingers never draw
      waiting = null;
      doing = "paper";
      hands = middle();
    }
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, pointOf(event));
    if (doing === "stroke") {
      waiting = placeAt(pointOf(event));
      moving ||= requestAnimationFrame(follow);
      return;
    }
    if (doing !== "paper") return;
    const now = middle();
    if (now.apart && hands.apart) zoom(now.apart / hands.apart, hands.at);
    left -= now.at[0] - hands.at[0];
    low += now.at[1] - hands.at[1];
    hands = now;
    hold();
    later();
  });
  for (const kind of ["pointerup", "pointercancel"]) {
    canvas.addEventListener(kind, (event) => {
      if (!fingers.delete(event.pointerId)) return;
      if (doing === "stroke") {
        cancelAnimationFrame(moving);
        follow();
        if (kind === "pointerup") on.end();
        else on.cancel();
      }
      if (fingers.size) hands = middle();
      else doing = "";
      if (doing === "stroke") doing = "paper";
    });
  }
  canvas.addEventListener("wheel", (event) => {
    if (!event.ctrlKey) return; // else the page is being scrolled
    event.preventDefault();
    zoom(2 ** (-event.deltaY / 200), pointOf(event));
  }, { passive: false });

  // Keys -------------------------------------------------------------------------------------

  const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1], PageUp: [0, 10], PageDown: [0, -10], Home: [-1e4, 0], End: [1e4, 0] };
  let held = false; // a stroke that Enter began

  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || !grid) return;
    const step = STEPS[event.key];
    if (step) {
      const far = event.shiftKey ? 10 : 1;
      cursor = cursor.map((at, axis) => Math.min(Math.max(at + far * step[axis], 0), [grid.across, grid.up][axis] - 1));
      if (held) on.drag(cursor);
      reveal(cursor);
      on.at(cursor);
    } else if (event.key === " ") on.turn(cursor);
    else if (event.key === "Enter") {
      held = !held;
      if (held) on.begin(cursor);
      else on.end();
    } else if (event.key === "Escape") {
      held = false;
      on.cancel();
    } else if (event.key === "+" || event.key === "=") zoom(1.25);
    else if (event.key === "-") zoom(0.8);
    else return;
    event.preventDefault();
  });
  canvas.addEventListener("focus", () => {
    later();
    if (grid && canvas.matches(":focus-visible")) on.at(cursor);
  });
  canvas.addEventListener("blur", () => {
    if (held) on.cancel();
    held = false;
    later();
  });

  // Light, size ------------------------------------------------------------------------------

  const recolour = () => {
    readColours();
    if (grid) colour(null);
    later();
  };
  readColours();
  const theme = new MutationObserver(recolour);
  theme.observe(document.documentElement, { attributeFilter: ["data-theme"] });
  const dark = matchMedia("(prefers-color-scheme: dark)");
  dark.addEventListener("change", recolour);
  const sized = new ResizeObserver(() => (canvas.width > 300 || canvas.height > 150 ? later() : fit()));
  sized.observe(canvas);

  return {
    show, fit, reveal,
    nearer: () => zoom(1.5),
    farther: () => zoom(1 / 1.5),
    cursor: () => cursor,
    choose(part) {
      chosen = part;
      later();
    },
    /** Go to a part, and mark it. */
    point(parts) {
      wrong = parts;
      if (parts.length) {
        cursor = [parts[0].unit, parts[0].row];
        reveal(cursor);
      }
      later();
    },
    proportion(height) {
      if (Math.abs(tall - height) < 1e-6) return;
      tall = height;
      fit();
    },
    release() {
      theme.disconnect();
      sized.disconnect();
      dark.removeEventListener("change", recolour);
    },
  };
}
