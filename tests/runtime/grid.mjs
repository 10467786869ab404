// Answers [name, ...arguments] a line from standard input with what grid.mjs makes of it. A grid travels as
// {squares}, its lines in the order of weaving; a problem as {problem}.

import { createInterface } from "node:readline";
import * as grid from "../../docs/assets/grid.mjs";

const isGrid = (value) => value?.cells instanceof Uint8Array;
const inward = (value) => {
  if (Array.isArray(value) || !value || typeof value !== "object") return value;
  if ("squares" in value) return grid.made(value.squares[0].length, value.squares.length, (unit, row) => value.squares[row][unit] === "#");
  return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, inward(part)]));
};
const outward = (value) => {
  if (isGrid(value)) {
    return { squares: Array.from({ length: value.up }, (_, row) => Array.from({ length: value.across }, (__, unit) => ".#"[+grid.isDrawn(value, unit, row)]).join("")) };
  }
  if (Array.isArray(value) || !value || typeof value !== "object") return value;
  return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, outward(part)]));
};

const here = {
  changedIn: (one, part, name, by) => grid.changedIn(one, part, grid[name], by),
  /** Draw strokes one after the other; then every state on the way back, and on the way forth again. */
  history(first, steps, most) {
    const history = new grid.History(first);
    const states = [history.now];
    for (const [name, ...rest] of steps) {
      const { grid: now, whole } = history.now;
      const taken = name === "whole" ? history.take(now, { ...whole, ...rest[0] }) : history.take(name === "strokes" ? grid.marked(now, ...rest) : grid[name](now, ...rest));
      if (taken) states.push(history.now);
    }
    const read = ({ grid: one, whole }) => JSON.stringify([outward(one), outward(whole)]);
    const back = [];
    while (history.undo()) back.push(read(history.now));
    const forth = [];
    while (history.redo()) forth.push(read(history.now));
    const kept = structuredClone(history.kept(most));
    const again = new grid.History(history.now.grid, history.now.whole, kept);
    const later = [];
    while (again.undo()) later.push(read(again.now));
    while (again.canRedo) again.redo();
    return { states: states.map(read), back, forth, later, all: kept.all, now: read(again.now) };
  },
};

for await (const text of createInterface({ input: process.stdin })) {
  let said;
  try {
    const [name, ...given] = JSON.parse(text);
    said = { said: outward(await (here[name] ?? grid[name])(...given.map(inward))) };
  } catch (problem) {
    said = { problem: problem.message, kind: problem.constructor.name };
  }
  console.log(JSON.stringify(said));
}
