// Runs under Node: asks the page's own search what it finds, as long as it is asked.
//   node found.mjs SITE
// A line of JSON in, [questions, list]; a line out, for each question its places, best first.
// Where the list is null it looks through the built one.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const site = process.argv[2];
const { reader } = await import(pathToFileURL(join(site, "assets/ranking.mjs")).href);
const built = reader(JSON.parse(readFileSync(join(site, "search/list.json"), "utf8")));
for await (const line of createInterface({ input: process.stdin })) {
  const [questions, list] = JSON.parse(line);
  const find = await (list ? reader(list) : built);
  const places = questions.map((question) => find(question).found.map(({ at }) => at));
  process.stdout.write(`${JSON.stringify(places)}\n`);
}
