// Runs under Node: says where weaving stands in the part on the loom.
//   node standing.mjs ROOT CASES    (a JSON list of [parts, picks, move] in; a list of answers out)
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [, , root, cases] = process.argv;
const { standing } = await import(pathToFileURL(join(root, "docs/assets/filling.mjs")).href);
process.stdout.write(JSON.stringify(JSON.parse(cases).map((one) => standing(...one))));
