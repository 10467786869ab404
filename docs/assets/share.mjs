// Handing a plan on: its link, its code, its text, its file.

import { clothe } from "./cloth.mjs";
import { fileOf } from "./keep.mjs";
import { figureFor, LONGEST_LINK, nameFigure, ofPlan } from "./kept-figure.mjs";
import { actions, button, callPlan, labelled, link, make, nameFor, openDialog, planOf, root, saveFile, told } from "./parts.mjs";
import { ask } from "./runtime.mjs";

async function copy(field, say) {
  try {
    await navigator.clipboard.writeText(field.value);
  } catch {
    field.focus();
    field.select();
    if (!document.execCommand("copy")) {
      say.textContent = "This browser does not let the page copy. The text is marked: copy it by hand.";
      return;
    }
  }
  say.textContent = "Copied.";
}

function readOnly(tag, value) {
  const field = Object.assign(document.createElement(tag), { readOnly: true, value });
  field.addEventListener("focus", () => field.select());
  return field;
}

/** The plan of a form with its link, its figure in it where it fits, and what is to be said of that. */
async function toSend(section) {
  const plan = planOf(section);
  const { whole, figure } = (await figureFor(plan)) ?? {};
  if (!whole) return plan;
  plan.figure = figure;
  if (whole.length <= LONGEST_LINK) return { ...plan, bare: plan.link, link: whole, told: "Its figure goes along." };
  return { ...plan, told: `Its figure is too much for a link: that would have ${whole.length} letters, and above ${LONGEST_LINK} some ways of sending cut it off. The file takes it along.` };
}

/** Open what can be done to hand on the plan in this calculator. */
export async function act(section) {
  let plan = await toSend(section);
  if (document.querySelector(".ft-dialog[open]")) return; // a second tap
  const say = told();
  const address = readOnly("input", plan.link);
  const message = readOnly("textarea", "");
  message.rows = 6;
  const code = make("div", "ft-code-place");
  const figure = make("p", "ft-soft", plan.told);
  const picture = make("div", "ft-received-plan");
  const name = Object.assign(make("input", ""), { value: plan.name, maxLength: 80, autocomplete: "off" });
  const saveSent = async () => saveFile(`${plan.calculator}.json`, await fileOf([{ ...plan, name: nameFor(plan) }]));
  const send = async () => {
    try {
      await navigator.share({ title: nameFor(plan), url: plan.link });
    } catch (problem) {
      if (problem.name !== "AbortError") say.textContent = "Nothing here could take the link. Copy it instead.";
    }
  };
  const copyText = button("Copy as text", () => copy(message, say));
  const asText = make("details", "");
  asText.append(make("summary", "", "As text, for a message"), labelled("Text", message), actions(copyText));
  asText.hidden = true;
  openDialog(
    "Share this plan",
    actions(
      ...(navigator.share ? [button("Send to…", send)] : []),
      button("Copy the link", () => copy(address, say)),
      button("Save as a file", () => saveSent()),
      button("Save as a worked example", async () => (await import("./guild.mjs")).begin(plan, nameFor(plan), say)),
    ),
    say,
    figure,
    labelled("Name that goes along", name),
    picture,
    labelled("Link to exactly these numbers", address),
    code,
    asText,
    actions(link("Open a file that somebody sent", new URL("plans/", root))),
  );
  async function draw() {
    const { link: linked } = plan;
    const asked = (sent) => ask({ call: "share", id: plan.calculator, inputs: plan.inputs, units: plan.units, address: sent, name: plan.name });
    code.textContent = "The code to scan is being drawn.";
    try {
      const reply = await asked(linked);
      const without = !reply.code && plan.bare ? await asked(plan.bare) : {};
      if (linked !== plan.link) return; // renamed meanwhile
      if (reply.code || without.code) code.innerHTML = reply.code || without.code; // drawn by our own package
      else code.textContent = reply.problem;
      if (without.code) code.append(make("p", "ft-soft", "The code holds the plan without its figure: with it, a phone would not read the code."));
      picture.innerHTML = reply.card ?? "";
      if (plan.figure) clothe(picture, plan);
      message.value = reply.text ?? "";
      asText.hidden = !reply.text;
    } catch (problem) {
      code.textContent = `No code and no text just now. ${problem.message} The link and the file work without.`;
    }
  }
  name.addEventListener("change", async () => {
    const wanted = name.value.trim();
    name.value = wanted && (await nameFigure(await ofPlan(plan), wanted));
    callPlan(section, name.value);
    plan = await toSend(section);
    address.value = plan.link;
    figure.textContent = plan.told ?? "";
    draw();
  });
  await draw();
}
