// Takes comments and spaces out of page scripts and style sheets, in their place.
//
// node lighten.mjs FOLDER NAME …

import { build } from "esbuild";
import { join } from "node:path";

const [folder, ...names] = process.argv.slice(2);
await build({
  entryPoints: names.map((name) => join(folder, name)),
  outdir: folder,
  outExtension: { ".js": ".mjs" },
  allowOverwrite: true,
  minify: true,
  charset: "utf8",
  logLevel: "warning",
});
