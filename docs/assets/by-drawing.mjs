// A weave is typed, or chosen from a folded list of small drawings; an id from a link is shown in words.

const listOf = (control) => control.closest(".ft-field")?.querySelector(".ft-by-drawing");

/** What a weaver would read for a value: the words of an id, else the value as it is. */
export function inWords(control, value) {
  const entries = listOf(control)?.querySelectorAll("[data-id]") ?? [];
  return [...entries].find(({ dataset }) => dataset.id === value)?.dataset.words ?? value;
}

/** Make the drawings of a form into buttons that fill in their field. */
export function bindDrawings(form) {
  for (const list of form.querySelectorAll(".ft-by-drawing")) {
    const control = list.closest(".ft-field").querySelector("input");
    for (const entry of list.querySelectorAll("[data-words]")) {
      if (entry.querySelector("button")) continue; // bound before
      const button = Object.assign(document.createElement("button"), { type: "button" });
      button.append(...entry.childNodes);
      entry.append(button);
      button.addEventListener("click", () => {
        control.value = entry.dataset.words;
        for (const kind of ["input", "change"]) control.dispatchEvent(new Event(kind, { bubbles: true }));
        list.open = false;
        list.querySelector("summary").focus();
      });
    }
    list.addEventListener("toggle", () => {
      for (const button of list.querySelectorAll("button")) {
        button.setAttribute("aria-pressed", String(button.parentElement.dataset.words === control.value));
      }
    });
  }
}
