// The piece on the loom as a picture that fills; everything in it is measured in picks.

/** Find the stretch of a plan where so many picks are woven. */
export function placeOf(plan, picks) {
  let begin = 0;
  for (const [place, stretch] of plan.stretches.entries()) {
    if (picks < begin + stretch.picks) return { ...stretch, place, begin, inside: picks - begin };
    begin += stretch.picks;
  }
  return { name: "All of it is woven", place: -1, begin, picks: 0, inside: 0, row: 1 };
}

/** Where weaving stands in the part that is on the loom: how far it has come, and where the next move lies, if in it. */
export function standing(parts, picks, move) {
  const { start, picks: whole } = parts.find((part) => picks < part.start + part.picks) ?? parts.at(-1);
  const woven = Math.min(picks - start, whole);
  const next = move - start;
  return { whole, woven, next: next >= woven && next <= whole && woven < whole ? next : null };
}

/** Show how far the piece has come; the cloth grows from below. */
export function fill(picture, { parts, across }, picks, move) {
  picture.toggleAttribute("hidden", !across);
  if (!across) return;
  const { whole, woven, next } = standing(parts, picks, move);
  const set = (name, values) => {
    const shape = picture.querySelector(`.ft-filling-${name}`);
    for (const [key, value] of Object.entries(values)) shape.setAttribute(key, value);
  };
  picture.setAttribute("viewBox", `0 0 ${across} ${whole}`);
  set("warp", { width: across, height: whole });
  set("cloth", { width: across, height: woven, y: whole - woven });
  set("move", { d: next === null ? "" : `M0 ${whole - next}H${across}` });
  picture.querySelector("title").textContent =
    `${Math.floor((100 * woven) / whole)} % of it woven${next === null ? "" : `; the dashed line is the next move of the temple, in ${next - woven} picks`}`;
}
