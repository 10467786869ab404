// Runs under Node: makes the library archive and the memory snapshot with Pyodide's own Python.
//   node runtime_make.mjs library PYODIDE STAGE INSIDE TARGET   (prints a JSON report)
//   node runtime_make.mjs memory  PYODIDE LIBRARY INSIDE TARGET
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [, , what, home, source, inside, target] = process.argv;
const { loadPyodide } = await import(pathToFileURL(join(home, "pyodide.mjs")).href);
const { info } = JSON.parse(readFileSync(join(home, "pyodide-lock.json"), "utf8"));
const settings = {
  indexURL: home,
  lockFileContents: { info, packages: {} },
  env: { HOME: "/home/weaver", PYTHONHASHSEED: "0", PYTHONOPTIMIZE: "2" },
  stdout: (line) => console.error(line),
};
const code = readFileSync(inside, "utf8");

if (what === "library") {
  const pyodide = await loadPyodide(settings);
  const version = pyodide.runPython("import sys; f'{sys.version_info[0]}{sys.version_info[1]}'");
  pyodide.FS.mkdirTree("/stage");
  pyodide.mountNodeFS("/stage", source);
  pyodide.runPython("sys.path.insert(0, '/stage')");
  pyodide.runPython(code);
  const report = pyodide.runPython(
    `json.dumps(pack("/stage", "/lib/python${version}.zip", "/tmp/made.zip"))`,
  );
  writeFileSync(target, pyodide.FS.readFile("/tmp/made.zip"));
  console.log(report);
} else {
  const pyodide = await loadPyodide({ ...settings, stdLibURL: source, _makeSnapshot: true });
  // Only the package is imported here; what serves the rehearsal alone is forgotten again.
  pyodide.runPython(`
import json
import calculators
from calculators.page import respond as _respond

for _calculator in calculators.describe():
    _inputs = {field["name"]: field["default"] for field in _calculator["fields"]}
    _respond(json.dumps({"call": "answer", "id": _calculator["id"], "inputs": _inputs}))
del _calculator, _inputs, _respond
import gc
gc.collect()
`);
  writeFileSync(target, pyodide.makeMemorySnapshot());
}
process.exit(0);
