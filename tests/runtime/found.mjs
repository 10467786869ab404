// Runs under Node: asks the page's own search, over the built list, what it finds.
//   node found.mjs SITE QUESTIONS    (a JSON list of texts in; for each its places, best first, out)
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [, , site, questions] = process.argv;
const { reader } = await import(pathToFileURL(join(site, "assets/ranking.mjs")).href);
const find = await reader(JSON.parse(readFileSync(join(site, "search/list.json"), "utf8")));
const places = JSON.parse(questions).map((question) => find(question).found.map(({ at }) => at));
process.stdout.write(JSON.stringify(places));
