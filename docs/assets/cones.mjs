// The shelf's cones: one more from the scale, out as a file, in from one. The package reads and writes.

import { itemsOf, put as putIntoWorkroom } from "./mine.mjs";
import { actions, button, labelled, make, openDialog, saveFile, told, units } from "./parts.mjs";
import { ask } from "./runtime.mjs";

const LARGEST = 1e6; // bytes; two hundred cones are far fewer

/** Put a line for one more cone above the cards, make their buttons work, and put the tools beneath. */
export function bindCones(section) {
  const field = section.querySelector("[name=cones]");
  const holder = field.closest(".ft-field");
  if (section.querySelector(".ft-cones")) return;
  const say = told();
  const put = (text) => {
    field.value = text;
    for (const kind of ["input", "change"]) field.dispatchEvent(new Event(kind, { bubbles: true }));
  };
  const save = async (kind) => {
    const reply = await asked({ cones: field.value, kind });
    say.textContent = reply.problem ?? "";
    if (reply.ok) saveFile(reply.file, reply.text, reply.type);
  };
  /** What is written here goes into the workroom: what has the same name there is replaced. */
  const toWorkroom = async () => {
    const reply = await asked({ call: "own", kind: "workroom", file: field.value });
    if (!reply.ok) {
      say.textContent = reply.problem;
      return;
    }
    const backs = [];
    for (const item of reply.items) backs.push(await putIntoWorkroom("workroom", item));
    const undo = button("Undo", async () => {
      for (const back of backs.reverse()) await back?.();
      say.textContent = "That is undone.";
    });
    const kept = backs.filter(Boolean).length;
    if (kept < backs.length) say.textContent = "This browser keeps nothing more here. A file keeps it all the same.";
    else say.replaceChildren("All of it is in your workroom; what had the same name was replaced. ", undo);
  };
  holder.querySelector(".ft-read").before(oneMore(field, put, say), say);
  holder.addEventListener("click", ({ target }) => {
    const act = target.closest("[data-cone]")?.dataset.cone;
    const card = target.closest(".ft-cone");
    if (act === "change") change(card, field, put, say);
    if (act === "remove") takeOff(card, field, put, say);
  });
  const tools = make("div", "ft-cones");
  tools.append(
    actions(
      button("Add a cone", () => openScale(field, put)),
      button("Put these into my workroom", toWorkroom),
      button("Open a file", () => openFile(field, put)),
      button("Save as a file", () => save("json")),
      button("Save as a table", () => save("csv")),
    ),
  );
  holder.after(tools);
}

/** What stands on the shelf; the example’s cones go with the first of one’s own. */
const standing = (field) => (field.value === field.defaultValue ? "" : field.value);

/** A line for one more cone, as one would say it. */
function oneMore(field, put, say) {
  const [line, labelledLine] = entry("One more cone, such as 16/2 cotton white, 12 oz", {});
  async function add() {
    const reply = await asked({ cones: standing(field), line: line.value });
    say.textContent = reply.told ?? reply.problem;
    if (!reply.ok) return;
    line.value = "";
    put(reply.text);
    await alsoInWorkroom(reply.item, say);
  }
  for (const kind of ["input", "change"]) line.addEventListener(kind, (event) => event.stopPropagation()); // it is no field of the calculator's
  line.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    add();
  });
  const whole = make("div", "ft-one-more");
  whole.append(labelledLine, button("Write it down", add));
  return whole;
}

const nameOn = (card) => card.querySelector("b").textContent;
const placeOf = (card) => [...card.parentElement.children].indexOf(card);

async function change(card, field, put, say) {
  const { openForm } = await import("./own.mjs");
  const [place, was, before] = [placeOf(card), card.dataset.line, field.value];
  const others = [...card.parentElement.children].filter((one) => one !== card).map(nameOn);
  openForm("cone", was, async () => others, async (item) => {
    const reply = await asked({ cones: before, place, line: item.line });
    say.textContent = reply.problem ?? `${item.name} is written down.`;
    if (!reply.ok) return true;
    put(reply.text);
    await alsoInWorkroom(item, say, was);
    return true;
  });
}

async function takeOff(card, field, put, say) {
  const [name, was, before] = [nameOn(card), card.dataset.line, field.value];
  const reply = await asked({ cones: before, place: placeOf(card), line: "" });
  say.textContent = reply.problem ?? "";
  if (!reply.ok) return;
  put(reply.text);
  const stays = (await itemsOf("workroom")).some(({ line }) => line === was) ? " It stays in your workroom." : "";
  const back = button("Put it back", () => {
    put(before);
    say.textContent = `${name} is back.`;
  });
  say.replaceChildren(`${name} is taken off this list.${stays} `, back);
  back.focus();
}

async function asked(request) {
  try {
    return await ask({ call: "cones", units: units(), ...request });
  } catch (problem) {
    return { ok: false, problem: problem.message };
  }
}

function entry(words, settings) {
  const input = Object.assign(make("input", ""), { autocomplete: "off", spellcheck: false, ...settings });
  return [input, labelled(words, input)];
}

/** Take one cone after another, as they come off the scale. */
function openScale(field, put) {
  const [unit, scale] = [units() === "inch" ? "oz" : "g", { inputMode: "decimal" }];
  const [gross, grossLine] = entry(`On the scale, ${unit}`, scale);
  const [empty, emptyLine] = entry(`Empty cone, ${unit}, if it stood there too`, scale);
  const [yarn, yarnLine] = entry("Yarn, as on the label, such as 16/2 cotton", {});
  const [colour, colourLine] = entry("Colour, in a word or #2b4a6f", {});
  const [picked, pickedLine] = entry("Or picked", { type: "color", value: "#e8dfc8" });
  const [name, nameLine] = entry("Name", { maxLength: 60 });
  const [note, noteLine] = entry("Note", { maxLength: 200 });
  const say = told();
  const form = make("form", "ft-asking");
  const add = Object.assign(make("button", "ft-act", "Add"), { type: "submit" });
  const more = make("details", "");
  more.append(make("summary", "", "Name and note"), nameLine, noteLine);
  form.append(say, yarnLine, grossLine, emptyLine, colourLine, pickedLine, actions(add), more);
  picked.addEventListener("input", () => {
    colour.value = picked.value;
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    add.disabled = true;
    const cone = Object.fromEntries(
      Object.entries({ name, yarn, gross, empty, colour, note }).map(([key, input]) => [key, input.value]),
    );
    const reply = await asked({ cones: standing(field), cone });
    add.disabled = false;
    say.textContent = reply.told ?? reply.problem;
    if (!reply.ok) return;
    await alsoInWorkroom(reply.item, say);
    put(reply.text);
    for (const input of [gross, colour, name, note]) input.value = ""; // yarn and empty cone stay
    gross.focus();
  });
  openDialog("Add a cone", form);
  yarn.focus();
}

/** Write a cone down in the workroom too, unless another one there has its name; `was` is the line it had. */
async function alsoInWorkroom(cone, say, was = "") {
  const cones = (await itemsOf("workroom")).filter(({ sort }) => sort === "cone");
  const there = cones.find(({ line }) => line === was) ?? cones.find(({ name }) => name.toLowerCase() === cone.name.toLowerCase());
  const put = async () => {
    if (await putIntoWorkroom("workroom", cone, there?.key)) say.append(" It is in your workroom too.");
  };
  if (!there || [was, cone.line].includes(there.line)) await put();
  else {
    const replace = button("Replace it", () => {
      replace.remove();
      put();
    });
    say.append(` Another ${cone.name} is in your workroom. `, replace);
  }
}

function openFile(field, put) {
  const say = told();
  const chooser = Object.assign(make("input", ""), { type: "file", accept: ".json,.csv,.txt,text/*,application/json" });
  chooser.addEventListener("change", async () => {
    const [file] = chooser.files;
    if (!file) return;
    const { textOf } = await import("./own.mjs");
    const reply =
      file.size > LARGEST
        ? { problem: "This file is far too large for a shelf." }
        : await asked({ cones: field.value, file: await textOf(file) });
    chooser.value = "";
    say.textContent = reply.told ?? `Nothing was taken from this file. ${reply.problem}`;
    if (reply.ok) put(reply.text);
  });
  openDialog("Open a file of cones", labelled("A file from this page, a table with commas, or lines as above", chooser), say);
}
