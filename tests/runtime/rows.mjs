// Answers [name, figure, ...arguments] a line from standard input with what rows.mjs makes of it. A figure is
// its squares, in the order of weaving; "" where none is wanted.

import { createInterface } from "node:readline";
import { made } from "../../docs/assets/grid.mjs";
import * as rows from "../../docs/assets/rows.mjs";

const gridOf = (squares) => made(squares[0].length, squares.length, (unit, row) => squares[row][unit] === "#");
const read = (value) => (Array.isArray(value?.squares) ? gridOf(value.squares) : value);
const own = { drawn: (name, figure, choices) => rows[name](rows.drawnOf(figure, choices), choices) };

for await (const text of createInterface({ input: process.stdin })) {
  const [name, ...given] = JSON.parse(text);
  console.log(JSON.stringify((own[name] ?? rows[name])(...given.map(read))));
}
