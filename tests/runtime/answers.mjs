// Runs under Node: answers requests with the browser's own Python and the library made for it.
//   node answers.mjs PYODIDE LIBRARY REQUESTS REPLIES    (a JSON list of texts in, and out)
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [, , home, library, requests, replies] = process.argv;
const { loadPyodide } = await import(pathToFileURL(join(home, "pyodide.mjs")).href);
const { info } = JSON.parse(readFileSync(join(home, "pyodide-lock.json"), "utf8"));
const pyodide = await loadPyodide({
  indexURL: home,
  lockFileContents: { info, packages: {} },
  stdLibURL: library,
  env: { PYTHONHASHSEED: "0" },
});
const respond = pyodide.pyimport("calculators.page").respond;
const asked = JSON.parse(readFileSync(requests, "utf8"));
writeFileSync(replies, JSON.stringify(asked.map((request) => respond(request))));
process.exit(0);
