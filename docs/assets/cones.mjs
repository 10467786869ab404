// The shelf's cones: one more from the scale, out as a file, in from one. The package reads and writes.

import { itemsOf, put as putIntoWorkroom, textOf } from "./own.mjs";
import { actions, button, labelled, make, openDialog, saveFile, told, units } from "./parts.mjs";
import { ask } from "./runtime.mjs";

const LARGEST = 1e6; // bytes; two hundred cones are far fewer

/** Put the shelf's own buttons beneath its cones. */
export function bindCones(section) {
  const field = section.querySelector("[name=cones]");
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
  const tools = make("div", "ft-cones");
  tools.append(
    actions(
      button("Add a cone", () => openScale(field, put)),
      button("Put these into my workroom", toWorkroom),
      button("Open a file", () => openFile(field, put)),
      button("Save as a file", () => save("json")),
      button("Save as a table", () => save("csv")),
    ),
    say,
  );
  field.closest(".ft-field").after(tools);
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
    const cones = field.value === field.defaultValue ? "" : field.value; // the example’s go with the first of one’s own
    const reply = await asked({ cones, cone });
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

/** Write a cone down in the workroom too, unless another one there has its name. */
async function alsoInWorkroom(cone, say) {
  const there = (await itemsOf("workroom")).find(({ sort, name }) => sort === "cone" && name.toLowerCase() === cone.name.toLowerCase());
  const put = async () => {
    if (await putIntoWorkroom("workroom", cone)) say.append(" It is in your workroom too.");
  };
  if (!there || there.line === cone.line) await put();
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
