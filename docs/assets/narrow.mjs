// Narrows the list of troubles to those that hold some words, or belong to one stage of the work.

import { labelled, make, told } from "./parts.mjs";

/** Put the two fields where the links to the stages stand. */
export function narrow(place) {
  const stages = [...document.querySelectorAll(".ft-troubles")];
  const rows = [...document.querySelectorAll(".ft-trouble")].map((row) => [row, row.textContent.toLowerCase()]);
  const words = Object.assign(make("input", ""), { type: "search", autocomplete: "off" });
  const stage = make("select", "");
  const names = stages.map((one) => one.querySelector("h2").firstChild.textContent);
  stage.append(new Option("Any stage", ""), ...names.map((name) => new Option(name)));
  const line = told();

  function show() {
    const wanted = words.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const [row, text] of rows) row.hidden = !wanted.every((word) => text.includes(word));
    stages.forEach((one, index) => {
      const chosen = !stage.value || stage.value === names[index];
      one.hidden = !chosen || !one.querySelector(".ft-trouble:not([hidden])");
    });
    const left = stages.filter((one) => !one.hidden);
    const count = left.reduce((sum, one) => sum + one.querySelectorAll(".ft-trouble:not([hidden])").length, 0);
    line.textContent = count ? `${count} of ${rows.length} troubles shown.` : "None of them. Try fewer words, or any stage.";
  }

  for (const field of [words, stage]) field.addEventListener("input", show);
  addEventListener("hashchange", () => {
    const target = document.getElementById(location.hash.slice(1));
    const row = target?.closest(".ft-trouble");
    if (!box.isConnected || !row) return;
    row.open = true;
    if (!row.hidden) return;
    words.value = stage.value = ""; // a link to a trouble wins over what was narrowed before
    show();
    target.scrollIntoView();
  });
  const box = make("div", "ft-narrow");
  box.setAttribute("role", "search");
  box.setAttribute("aria-label", "Troubles");
  box.append(labelled("Words that describe it", words), labelled("Stage of the work", stage), line);
  place.replaceWith(box);
}
