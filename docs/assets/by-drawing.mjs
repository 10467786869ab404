// A weave is typed, or chosen from a folded list of small drawings; an id from a link is shown in words.

const ANY = "any"; // where several may be chosen, and none is

const listOf = (control) => control.closest(".ft-field")?.querySelector(".ft-by-drawing");
const parts = (value) => value.split(/[,;]/).map((one) => one.trim()).filter((one) => one && one !== ANY);

/** What a weaver would read for a value: the words of an id, else the value as it is. */
export function inWords(control, value) {
  const list = listOf(control);
  const entries = [...(list?.querySelectorAll("[data-id]") ?? [])];
  const wordsOf = (id) => entries.find(({ dataset }) => dataset.id === id)?.dataset.words ?? id;
  return list && "several" in list.dataset ? parts(value).map(wordsOf).join(", ") || value : wordsOf(value);
}

/** What a field holds once one of several is pressed: with it, or without it if it was there. */
function turned(value, words) {
  const there = parts(value);
  const now = there.includes(words) ? there.filter((one) => one !== words) : [...there, words];
  return now.join(", ") || ANY;
}

/** Make the drawings of a form into buttons that fill in their field. */
export function bindDrawings(form) {
  for (const list of form.querySelectorAll(".ft-by-drawing")) {
    const control = list.closest(".ft-field").querySelector("input");
    const several = "several" in list.dataset;
    const show = () => {
      const chosen = several ? parts(control.value) : [control.value];
      for (const button of list.querySelectorAll("button")) {
        button.setAttribute("aria-pressed", String(chosen.includes(button.parentElement.dataset.words)));
      }
    };
    for (const entry of list.querySelectorAll("[data-words]")) {
      if (entry.querySelector("button")) continue; // bound before
      const button = Object.assign(document.createElement("button"), { type: "button" });
      button.append(...entry.childNodes);
      entry.append(button);
      button.addEventListener("click", () => {
        const { words } = entry.dataset;
        control.value = several ? turned(control.value, words) : words;
        for (const kind of ["input", "change"]) control.dispatchEvent(new Event(kind, { bubbles: true }));
        show();
        if (several) return;
        list.open = false;
        list.querySelector("summary").focus();
      });
    }
    list.addEventListener("toggle", show);
  }
}
