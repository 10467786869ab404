// Reads [text, field, units] triples from standard input, and says how each is written out.

import { readFileSync } from "node:fs";
import { carried, writtenOut } from "../../docs/assets/bare.mjs";

const asked = JSON.parse(readFileSync(0, "utf8"));
const said = asked.map(([text, field, units, to]) =>
  to === undefined ? writtenOut(text, field, units) : carried(text, field, units, to),
);
console.log(JSON.stringify(said));
