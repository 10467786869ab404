// The guild's examples: kept on this device, read as pages, written in, out as files, in from them.

import { hashOf, readAddress } from "./address.mjs";
import { figureOf, ofPlan } from "./kept-figure.mjs";
import { actions, button, labelled, link, make, root, saveFile, told } from "./parts.mjs";
import { ask, build, inWords, watch as watchRuntime } from "./runtime.mjs";
import { all, newKey, read, remove, watch, write } from "./store.mjs";
import { storyForm } from "./story.mjs";

const KIND = "examples";
const PAGE = new URL("examples/guild/", root);
const TITLE = "The guild’s examples";
const LARGEST = 5e6; // bytes of one file
const NO_ROOM = "This browser keeps nothing more here: its store is full, or closed as in a private window. A file keeps the example all the same.";

const address = (state, key = "") => new URL(state ? `#${state}${key && `=${key}`}` : "", PAGE);
const way = () => (document.documentElement.dataset.base ?? ".").replace(/\/?$/, "/").replace(/^\.\/$/, "");
const content = ({ key, kept, ...told }) => told;
const fileName = (title) => `${title.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "") || "example"}.json`;

async function asked(request) {
  try {
    return await ask(request);
  } catch (problem) {
    return { ok: false, problem: problem.message };
  }
}

const shown = (example) => asked({ call: "example", example, page: PAGE.href, base: way() });

async function saveAll(name, examples) {
  const reply = await asked({ call: "examples-file", examples, build });
  if (reply.ok) saveFile(name, reply.text);
  return reply.problem ?? "";
}

/** The kept examples, the latest last. */
async function examples() {
  return (await all(KIND)).sort((one, other) => String(one.kept).localeCompare(String(other.kept)));
}

/** Make an example of a plan and go where its story is written; what hinders that is told. */
export async function begin(plan, name, say) {
  const { calculator, inputs, version, units } = plan;
  const example = { title: name, calculator, inputs, version, ...(units ? { units } : {}), part: [], records: {} };
  const drawn = await figureOf(await ofPlan(plan));
  let reply = await shown(drawn ? { ...example, figure: drawn.figure } : example);
  let left = "";
  if (drawn && reply.ok) example.figure = drawn.figure;
  else if (drawn) {
    left = `Its figure stays out: ${reply.problem} `;
    reply = await shown(example);
  }
  if (!reply.ok) {
    say.textContent = reply.problem;
    return;
  }
  const key = newKey();
  if (!(await write(KIND, key, { ...example, kept: new Date().toISOString() }))) {
    say.replaceChildren(NO_ROOM, " ", button("Save as a file", () => saveAll(fileName(name), [example])));
    return;
  }
  const there = link("Write its story", address("write", key));
  say.replaceChildren(left, `“${name}” stands among the guild’s examples. `, there);
  if (!left) there.click();
}

/** Show what the address names: the list, one example to read or to write in, or the booklet. */
export function bindGuild(place) {
  const say = told();
  const view = make("div", "ft-guild-view");
  place.replaceChildren(say, view);
  const main = place.closest("main");
  const title = document.title;

  function stand(reading, ...parts) {
    main.classList.toggle("ft-reading", reading);
    view.replaceChildren(...parts);
  }

  /** Wait for the package, and say meanwhile how far it has come. */
  async function patiently(request) {
    const line = make("p", "ft-soft");
    view.prepend(line);
    const release = watchRuntime((state) => (line.textContent = state.name === "ready" ? "" : inWords(state)));
    const reply = await request;
    release();
    line.remove();
    return reply;
  }

  // One example ------------------------------------------------------------------------------

  function article(reply) {
    const page = make("article", "ft-one");
    page.innerHTML = reply.html; // made by our own package, which escapes what was typed
    document.title = `${reply.title} – ${title}`;
    return page;
  }

  function handingOn(reply) {
    const place = make("details", "ft-hand-on");
    const field = Object.assign(make("input", ""), { readOnly: true, value: reply.link });
    field.addEventListener("focus", () => field.select());
    const code = make("div", "ft-code-place", reply.problem);
    if (reply.code) code.innerHTML = reply.code; // drawn by our own package
    place.append(make("summary", "", "Link and code of this example"), labelled("Link to this example", field), code);
    return place;
  }

  function tools(example, ...more) {
    return actions(
      link("All examples", address("")),
      ...more,
      button("Print", () => globalThis.print()),
      button("Save as a file", async () => {
        say.textContent = await saveAll(fileName(example.title), [content(example)]);
      }),
    );
  }

  async function showOne(key) {
    const example = await read(KIND, key);
    if (!example) {
      stand(false, make("p", "", "This example is not on this device. "), actions(link("All examples", address(""))));
      return;
    }
    const reply = await patiently(shown(content(example)));
    const write = link("Write in it", address("write", key));
    const away = button("Delete", async () => {
      await remove(KIND, key);
      location.hash = "";
      await showList();
      offerBack(key, example);
    });
    if (reply.ok) stand(true, tools(example, write, away), article(reply), handingOn(reply));
    else stand(true, tools(example, write, away), make("p", "ft-notice", `${example.title}: ${reply.problem}`), actions(button("Try again", show)));
  }

  async function showReceived(plan) {
    if (plan.newer) {
      stand(false, make("p", "ft-notice", `This link was made by another edition of the handbook (version ${plan.newer.slice(0, 20)}), and this one cannot read it.`));
      return;
    }
    const values = { ...Object.fromEntries(plan.values), ...(plan.units ? { units: plan.units } : {}) };
    const found = await patiently(asked({ call: "example-of-link", id: plan.calculator, version: plan.version, values }));
    const reply = found.ok ? await shown(found.example) : found;
    if (!reply.ok) {
      stand(false, make("p", "ft-notice", `This link’s example cannot be shown. ${reply.problem}`), actions(link("All examples", address("")), button("Try again", show)));
      return;
    }
    const keep = button("Save among the guild’s examples", async () => {
      const key = newKey();
      const done = await write(KIND, key, { ...found.example, kept: new Date().toISOString() });
      say.textContent = done ? "" : NO_ROOM;
      if (done) location.replace(address("kept", key));
    });
    stand(true, tools(found.example, keep), article(reply), handingOn(reply));
  }

  // Writing ----------------------------------------------------------------------------------

  async function showWriting(key) {
    const example = await read(KIND, key);
    const kept = example && content(example);
    const first = kept && (await patiently(shown(kept)));
    const plan = first?.ok ? first : kept && (await shown({ ...kept, title: "…", question: "", part: [], records: {} }));
    if (!plan?.ok) {
      await showOne(key); // not the story hinders it
      return;
    }
    const page = make("div", "");
    page.append(first.ok ? article(first) : make("p", "ft-notice", `Not shown yet: ${first.problem}`));
    const line = told();
    const form = storyForm(kept, plan, async (next, latest) => {
      const done = await write(KIND, key, { ...next, kept: example.kept });
      const reply = await shown(next);
      if (!latest()) return {};
      line.textContent = [done ? "" : NO_ROOM, reply.ok ? "" : `Not shown yet: ${reply.problem}`].join(" ").trim() || "Saved on this device.";
      if (reply.ok) page.replaceChildren(article(reply));
      return reply;
    });
    const reading = link("Read it as a page", address("kept", key));
    stand(true, tools(example, reading), form, line, page);
  }

  // The list ---------------------------------------------------------------------------------

  function offerBack(key, example) {
    const back = button("Put it back", async () => {
      say.textContent = (await write(KIND, key, example)) ? `“${example.title}” is back.` : NO_ROOM;
    });
    say.replaceChildren(`“${example.title}” is deleted. `, back);
    back.focus();
  }

  async function take(chooser) {
    const here = new Set((await examples()).map((one) => JSON.stringify(content(one))));
    const lines = [];
    let taken = 0;
    for (const file of chooser.files) {
      const reply = file.size > LARGEST
        ? { ok: false, problem: "it is far too large for examples." }
        : await asked({ call: "examples-file", file: await file.text() });
      for (const example of reply.examples ?? []) {
        if (here.has(JSON.stringify(example))) continue;
        if (await write(KIND, newKey(), { ...example, kept: new Date().toISOString() })) taken += 1;
        else lines.push(`${example.title}: ${NO_ROOM}`);
      }
      const problems = reply.ok ? reply.problems : [reply.problem];
      lines.push(...problems.map((problem) => `${file.name}, ${problem}`));
    }
    chooser.value = "";
    const left = make("ul", "");
    left.append(...lines.map((line) => make("li", "", line)));
    say.replaceChildren(`${taken} taken in.`, ...(lines.length ? [" Left out:", left] : []));
  }

  function item(example) {
    const entry = make("li", "");
    const open = link(example.title || "Without a title", address("kept", example.key));
    open.className = "ft-plan-name";
    const about = [example.weaver, example.question].filter(Boolean).join(". ");
    entry.append(open, make("p", "ft-soft", about));
    return entry;
  }

  async function showList() {
    document.title = title;
    const held = await examples();
    const list = make("ul", "ft-plans");
    list.append(...held.map(item));
    const chooser = Object.assign(make("input", ""), { type: "file", multiple: true, accept: ".json,application/json" });
    chooser.addEventListener("change", () => take(chooser));
    const none = make("p", "ft-soft", "None is here yet. Any plan becomes one: Share, beneath its calculator, or your saved plans.");
    const save = button("Save all as one file", async () => {
      say.textContent = await saveAll("examples.json", held.map(content));
    });
    const several = held.length ? actions(save, link("Print all as a booklet", address("booklet"))) : none;
    stand(false, list, several, labelled("Open files of examples", chooser));
  }

  async function showBooklet() {
    const name = Object.assign(make("input", ""), { value: TITLE, maxLength: 80, autocomplete: "off" });
    const date = new Date().toLocaleDateString("en-GB", { dateStyle: "long" });
    const reply = await patiently(asked({ call: "booklet", examples: (await examples()).map(content), title: TITLE, date, page: PAGE.href }));
    const book = make("div", "ft-booklet");
    const left = make("p", "ft-notice", (reply.problems ?? [reply.problem]).join(" "));
    left.hidden = !left.textContent;
    book.innerHTML = reply.html ?? ""; // made by our own package, which escapes what was typed
    name.addEventListener("input", () => {
      book.querySelector("h1").textContent = name.value;
    });
    const print = button("Print the booklet", () => globalThis.print());
    stand(true, actions(link("All examples", address("")), print), labelled("Title", name), left, book);
  }

  // The address ------------------------------------------------------------------------------

  async function show() {
    if (!place.isConnected) {
      removeEventListener("hashchange", show);
      release();
      return;
    }
    say.textContent = "";
    const plan = readAddress();
    const [, state, key] = location.hash.match(/^#(kept|write)=(\w+)$/) ?? [];
    if (plan) await showReceived(plan);
    else if (state) await (state === "kept" ? showOne : showWriting)(key);
    else if (location.hash === "#booklet") await showBooklet();
    else await showList();
  }

  const listed = () => !main.classList.contains("ft-reading");
  const release = watch(KIND, () => place.isConnected && listed() && showList());
  addEventListener("hashchange", show);
  return show();
}
