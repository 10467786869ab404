// Runs under Node: makes the library archive and the memory picture with Pyodide's own Python.
//   node make.mjs library PYODIDE STAGE INSIDE TARGET IMPORTED   (prints a JSON report)
//   node make.mjs memory  PYODIDE LIBRARY INSIDE TARGET
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [, , what, home, source, inside, target, imported] = process.argv;
const { loadPyodide } = await import(pathToFileURL(join(home, "pyodide.mjs")).href);
const { info } = JSON.parse(readFileSync(join(home, "pyodide-lock.json"), "utf8"));
const [rehearsal, packing] = readFileSync(inside, "utf8").split("\n# REHEARSAL\n");
const settings = {
  indexURL: home,
  lockFileContents: { info, packages: {} },
  env: { PYTHONHASHSEED: "0" },
  stdout: (line) => console.error(line),
};

if (what === "library") {
  const pyodide = await loadPyodide(settings);
  const version = pyodide.runPython("import sys; f'{sys.version_info[0]}{sys.version_info[1]}'");
  pyodide.FS.mkdirTree("/stage");
  pyodide.mountNodeFS("/stage", source);
  pyodide.runPython("sys.path.insert(0, '/stage')");
  pyodide.runPython(rehearsal);
  pyodide.runPython(packing);
  const pack = pyodide.globals.get("pack");
  const report = pack("/stage", `/lib/python${version}.zip`, "/tmp/made.zip", imported.split(","));
  writeFileSync(target, pyodide.FS.readFile("/tmp/made.zip"));
  console.log(JSON.stringify(report.toJs({ dict_converter: Object.fromEntries })));
} else {
  const pyodide = await loadPyodide({ ...settings, stdLibURL: source, _makeSnapshot: true });
  pyodide.runPython(rehearsal);
  pyodide.runPython("import gc; del overhear, rehearse, rehearse_code, answered, needed, texts; gc.collect()");
  writeFileSync(target, pyodide.makeMemorySnapshot());
}
process.exit(0);
