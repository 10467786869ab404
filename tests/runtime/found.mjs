// Runs under Node: asks the page's own search what it finds.
//   node found.mjs SITE QUESTIONS [LIST]    (a JSON list of texts in; for each its places, best first, out)
// Without a list in JSON it looks through the built one.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [, , site, questions, list] = process.argv;
const { reader } = await import(pathToFileURL(join(site, "assets/ranking.mjs")).href);
const find = await reader(JSON.parse(list ?? readFileSync(join(site, "search/list.json"), "utf8")));
const places = JSON.parse(questions).map((question) => find(question).found.map(({ at }) => at));
process.stdout.write(JSON.stringify(places));
