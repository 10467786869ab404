// Handing a plan on: its link, its code, its text, its file.

import { fileOf } from "./keep.mjs";
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

/** Open what can be done to hand on the plan in this calculator. */
export async function act(section) {
  let plan = planOf(section);
  const say = told();
  const address = readOnly("input", plan.link);
  const message = readOnly("textarea", "");
  message.rows = 6;
  const code = make("div", "ft-code-place");
  const picture = make("div", "ft-received-plan");
  const name = Object.assign(make("input", ""), { value: plan.name, maxLength: 80, autocomplete: "off" });
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
      button("Save as a file", () => saveFile(`${plan.calculator}.json`, fileOf([{ ...plan, name: nameFor(plan) }]))),
      button("Save as a worked example", async () => (await import("./guild.mjs")).begin(plan, nameFor(plan), say)),
    ),
    say,
    labelled("Name that goes along", name),
    picture,
    labelled("Link to exactly these numbers", address),
    code,
    asText,
    actions(link("Open a file that somebody sent", new URL("plans/", root))),
  );
  async function draw() {
    const { link: linked } = plan;
    code.textContent = "The code to scan is being drawn.";
    try {
      const reply = await ask({ call: "share", id: plan.calculator, inputs: plan.inputs, units: plan.units, address: linked, name: plan.name });
      if (linked !== plan.link) return; // renamed meanwhile
      if (reply.code) code.innerHTML = reply.code; // drawn by our own package
      else code.textContent = reply.problem;
      picture.innerHTML = reply.card ?? "";
      message.value = reply.text ?? "";
      asText.hidden = !reply.text;
    } catch (problem) {
      code.textContent = `No code and no text just now. ${problem.message} The link and the file work without.`;
    }
  }
  name.addEventListener("change", () => {
    callPlan(section, name.value.trim());
    plan = planOf(section);
    address.value = plan.link;
    draw();
  });
  await draw();
}
