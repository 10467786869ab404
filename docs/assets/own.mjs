// The pages and forms for what is the weaver's own: records, cones, looms and reeds.

import { bindDrawings } from "./by-drawing.mjs";
import { itemsOf, put } from "./mine.mjs";
import { actions, button, inBoth, labelled, link, make, openDialog, root, saveFile, showUnits, told, units } from "./parts.mjs";
import { ask, inWords, watch as watchRuntime } from "./runtime.mjs";
import { remove, watch, write } from "./store.mjs";

const LARGEST = 1e6; // bytes; a workroom is far smaller
const NO_ROOM = "This browser keeps nothing more here: its store is full, or closed as in a private window. A file keeps it all the same.";
const MAY_GO = "This stays in this browser on this device, and nothing is sent anywhere. A browser may lose what it keeps: save a file now and then.";
const PLACES = {
  records: { one: "cloth", page: "my-records/", title: "My records", add: [["record", "Add a cloth"]] },
  workroom: {
    one: "thing",
    page: "my-workroom/",
    title: "My workroom",
    add: [["loom", "Add a loom"], ["reeds", "My reeds"], ["cone", "Add a cone"]],
  },
};
/** Ask the package, and say meanwhile how far its runtime has come. */
export async function asked(request, say) {
  const release = watchRuntime((state) => state.name !== "ready" && state.name !== "idle" && (say.textContent = inWords(state)));
  try {
    return await ask({ units: units(), ...request });
  } catch (problem) {
    return { ok: false, problem: problem.message };
  } finally {
    release();
  }
}

/** The one loom that is there, or nothing. */
async function onlyLoom() {
  const looms = (await itemsOf("workroom")).filter(({ sort }) => sort === "loom");
  return looms.length === 1 ? looms[0].name : "";
}

/** A cloth woven again from its plan stands beside the one that was measured. */
async function freeName(name) {
  const measured = (await itemsOf("records")).filter((item) => item.measured).map((item) => item.name.toLocaleLowerCase());
  let free = name;
  for (let number = 2; measured.includes(free.toLocaleLowerCase()); number += 1) free = `${name} ${number}`;
  return free;
}

/** Put a finished cloth into one's records, and say so with the ways on from there. */
export async function finish({ calculator, inputs, version, units = "", name }, say) {
  const free = calculator === "record" ? name : await freeName(name);
  const reply = await asked({ call: "finished", id: calculator, inputs, version, units, name: free, loom: await onlyLoom() }, say);
  if (!reply.ok) {
    say.textContent = reply.problem;
    return;
  }
  const { item } = reply;
  const back = await put("records", item);
  if (!back) {
    say.textContent = NO_ROOM;
    return;
  }
  const undo = button("Take it out again", async () => {
    await back();
    say.textContent = `“${item.name}” is as it was before.`;
  });
  const measure = item.measure ? [" ", link("Measure it now", new URL(item.measure, root))] : [];
  say.replaceChildren(`“${item.name}” is in your records.`, ...measure, " ", link(PLACES.records.title, new URL(PLACES.records.page, root)), " ", undo);
}

// Fields ------------------------------------------------------------------------------------

/**
 * Ask for one thing in fields that the package writes; what it refuses is said beside its field.
 *
 * `names` are those that the others have; `keep` puts the thing where it belongs, and says whether it could.
 */
export async function openForm(sort, line, names, keep) {
  const say = told();
  const form = make("form", "ft-form ft-asking");
  form.noValidate = true;
  const dialog = openDialog("One moment", say, form);
  const reply = await asked({ call: "own", form: sort, line }, say);
  say.textContent = reply.problem ?? "";
  if (!reply.ok) return;
  dialog.setAttribute("aria-label", reply.title);
  dialog.querySelector("h2").textContent = reply.title;
  form.innerHTML = reply.form; // written by our own package, which escapes what was typed
  showUnits(form);
  bindDrawings(form);
  const done = Object.assign(make("button", "ft-act", "Save"), { type: "submit" });
  form.append(actions(done));
  const controls = [...form.querySelectorAll("[name]")];
  controls[0].focus();
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const inputs = Object.fromEntries(controls.map(({ name, value }) => [name, value]));
    const answer = await asked({ call: "own-entry", sort, inputs, names: await names() }, say);
    showErrors(controls, answer.fields ?? {});
    if (!answer.ok) {
      say.textContent = answer.problem;
      form.querySelector("[aria-invalid]")?.focus();
      return;
    }
    if (await keep(answer.item)) dialog.close();
    else say.textContent = NO_ROOM;
  });
}

/** Ask for one thing of one's own, and put it among them. */
function openOwn(kind, sort, item, tell) {
  const names = async () => {
    const others = (await itemsOf(kind)).filter((one) => one.sort === sort && one.key !== item?.key);
    return others.map(({ name }) => name);
  };
  return openForm(sort, item?.line ?? "", names, async (made) => {
    const back = await put(kind, made, item?.key);
    if (!back) return false;
    tell(`${made.name} is written down.`, button("Undo", async () => {
      await back();
      tell("That is undone.");
    }));
    return true;
  });
}

function showErrors(controls, fields) {
  for (const control of controls) {
    const { error = "", hint = "" } = fields[control.name] ?? {};
    const place = control.closest(".ft-field")?.querySelector(".ft-error");
    if (!place) continue;
    place.textContent = [error, hint].filter(Boolean).join(" ");
    place.hidden = !error;
    control.toggleAttribute("aria-invalid", Boolean(error));
    if (error) control.setAttribute("aria-invalid", "true");
    const folded = error && control.closest("details");
    if (folded) folded.open = true;
  }
}

// The page that lists them ------------------------------------------------------------------

/** Show what is one's own, and go on showing it while other tabs change it. */
export function list(place) {
  const kind = place.dataset.own;
  const { one, add } = PLACES[kind];
  const example = place.querySelector(".ft-own-example");
  const say = told();
  const [held, cones] = [make("ul", "ft-plans"), make("ul", "ft-cone-cards")];
  const line = make("p", "ft-soft", MAY_GO);
  const chooser = Object.assign(make("input", ""), { type: "file", accept: ".json,.csv,.txt,text/*,application/json" });
  const save = button("Save as a file", async () => {
    const reply = await asked({ call: "own", kind, lines: (await itemsOf(kind)).map((item) => item.line) }, say);
    say.textContent = reply.problem ?? "";
    if (reply.ok) saveFile(reply.file, reply.text, reply.type);
  });
  const tell = (words, ...more) => {
    say.replaceChildren(words, " ", ...more);
    show();
  };

  function entry(item) {
    const about = make("span", "");
    about.append(item.metric ? inBoth(item) : item.about); // what an earlier edition wrote down has one text
    const act = (words, does) => {
      const pressed = button(words, does);
      pressed.setAttribute("aria-label", `${words}: ${item.name}`);
      return pressed;
    };
    const tools = [
      act("Change", () => openOwn(kind, item.sort, item, tell)),
      act("Delete", async () => {
        const { key, ...before } = item;
        await remove(kind, key);
        tell(`“${item.name}” is deleted.`, button("Put it back", async () => {
          tell((await write(kind, key, before)) ? `“${item.name}” is back.` : NO_ROOM);
        }));
        say.querySelector("button").focus();
      }),
    ];
    const it = make("li", item.sort === "cone" ? "ft-cone" : "");
    if (item.sort === "cone") {
      it.innerHTML = item.drawing ?? ""; // drawn by our own package
      it.append(make("b", "", item.name), about, ...tools);
    } else it.append(make("p", "ft-plan-name", item.name), about, actions(...tools));
    return it;
  }

  async function open() {
    const [file] = chooser.files;
    if (!file) return;
    const reply = file.size > LARGEST ? { ok: false, problem: "It is far too large." } : await asked({ call: "own", kind, file: await textOf(file) }, say);
    chooser.value = "";
    if (!reply.ok) {
      tell(`Nothing was taken from this file. ${reply.problem}`);
      return;
    }
    const backs = [];
    for (const item of reply.items) backs.push(await put(kind, item));
    const undo = async () => {
      for (const back of backs.reverse()) await back?.();
      tell("That is undone.");
    };
    if (backs.includes(null)) {
      await undo();
      tell(NO_ROOM);
      return;
    }
    const many = `${backs.length} ${one}${backs.length === 1 ? "" : "s"}`;
    tell(`${many} taken in; what has the same name was replaced.`, button("Undo", undo));
  }

  async function show() {
    const items = await itemsOf(kind);
    for (const [list, isCone] of [[held, false], [cones, true]]) {
      list.replaceChildren(...items.filter(({ sort }) => (sort === "cone") === isCone).map(entry));
    }
    save.hidden = items.length === 0;
    if (example) example.hidden = items.length > 0;
  }

  const adders = add.map(([sort, words]) =>
    button(words, async () => {
      const there = sort === "reeds" ? (await itemsOf(kind)).find((item) => item.sort === sort) : undefined;
      openOwn(kind, sort, there, tell);
    }),
  );
  place.append(say, held, cones, actions(...adders, save), labelled("Open a file", chooser), line);
  chooser.addEventListener("change", open);
  const release = watch(kind, () => (place.isConnected ? show() : release()));
  return show();
}

/** Read a file as whatever a spreadsheet may have written. */
export async function textOf(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}
