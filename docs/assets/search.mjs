// The search's dialog: it fetches the list of all that can be found at its first use, and shows what
// answers the question, with the arrow keys from one to the next.

import { reader } from "./ranking.mjs";

const AT_ONCE = 12;
const KINDS = {
  calculator: "Calculator",
  example: "Worked example",
  formula: "Formula",
  record: "What was checked or changed",
  source: "Source",
  term: "Word",
  trouble: "Trouble",
};

let finding;

async function fetchList(site) {
  const reply = await fetch(new URL("search/list.json", site));
  if (!reply.ok) throw new Error(reply.statusText);
  return reader(await reply.json());
}

/** Show what answers the question as it now stands. */
export async function showFound(dialog, site) {
  if (!finding) dialog.addEventListener("keydown", step);
  const [told, hits, more] = dialog.querySelectorAll(".ft-found, .ft-hits, [data-more-found]");
  finding ??= fetchList(site);
  let find;
  try {
    find = await finding;
  } catch (problem) {
    finding = undefined;
    throw problem;
  }
  const question = dialog.querySelector("input").value.trim();
  const { found, leads } = find(question);
  told.textContent = tell(question, found.length);
  const show = (from) => {
    hits.append(...found.slice(from, from + AT_ONCE).map((one) => hit(one, site, leads)));
    more.hidden = found.length <= from + AT_ONCE;
  };
  hits.replaceChildren();
  show(0);
  more.onclick = () => {
    const from = hits.children.length;
    show(from);
    hits.children[from].querySelector("a").focus();
  };
}

function tell(question, count) {
  if (!question) return "";
  return count ? "The nearest first." : "Nothing found. Try one word, or a count such as 16/2.";
}

function hit({ kind, at, title, text, page }, site, leads) {
  const link = Object.assign(document.createElement("a"), { href: new URL(at, site), textContent: title });
  const place = document.createElement("small");
  const inside = at === page.at ? "" : page.title || "First page";
  place.textContent = [KINDS[kind], inside].filter(Boolean).join(" · ");
  const item = document.createElement("li");
  item.append(link, place, excerpt(text, leads));
  return item;
}

/** The text around the first word that led here, with every such word marked. */
function excerpt(text, leads) {
  const line = document.createElement("p");
  const pieces = text.split(/(\s+)/);
  const first = pieces.findIndex((piece) => piece.trim() && leads(piece));
  const from = first < 16 ? 0 : first - 12;
  if (from) line.append("… ");
  let length = 0;
  for (const piece of pieces.slice(from)) {
    length += piece.length;
    if (length > 170) {
      line.append("…");
      break;
    }
    const marked = piece.trim() && leads(piece);
    line.append(marked ? Object.assign(document.createElement("mark"), { textContent: piece }) : piece);
  }
  return line;
}

/** From the question down to what was found and up again. */
function step(event) {
  const way = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!way) return;
  const stops = [...this.querySelectorAll("input, .ft-hits a, [data-more-found]:not([hidden])")];
  const next = stops[stops.indexOf(document.activeElement) + way];
  if (!next || !stops.includes(document.activeElement)) return; // on a button, or at either end
  event.preventDefault();
  next.focus();
}
