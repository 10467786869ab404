// A cloth thread by thread: drawn strip by strip, the first pick lowest, so that it is watched growing and can be given up.

import { actions, button, make } from "./parts.mjs";
import { ask } from "./runtime.mjs";

const MOST = 12e6; // points of a canvas that any phone holds
const LONGEST = 16_000; // points of its side

const grouped = (count) => count.toLocaleString("en-GB");

/** Draw in a place the cloth that is asked for; gives what starts it, and what stops it with a word. */
export function bindThreads(place, wanted) {
  const canvas = make("canvas", "");
  const scroll = make("div", "ft-threads");
  const caption = make("figcaption", "");
  const bar = Object.assign(make("progress", ""), { max: 1, value: 0 });
  const stopping = button("Stop", () => stop("Stopped. "));
  const nearer = button("Thread by thread", () => {
    const near = scroll.toggleAttribute("data-near");
    nearer.textContent = near ? "All of it" : "Thread by thread";
    if (near) scroll.scrollTo((scroll.scrollWidth - scroll.clientWidth) / 2, (scroll.scrollHeight - scroll.clientHeight) / 2);
  });
  const figure = make("figure", "ft-picture");
  caption.setAttribute("role", "status");
  bar.setAttribute("aria-label", "Rows drawn");
  canvas.setAttribute("role", "img");
  scroll.append(canvas);
  scroll.tabIndex = 0; // it is scrolled with the keys
  figure.append(scroll, bar, caption, actions(stopping, nearer));
  let turn = 0; // only what was started last goes on
  let told = "";

  function tell(words, before = "") {
    told = words;
    caption.textContent = before + told;
  }

  function stop(words = "") {
    turn += 1;
    stopping.hidden = bar.hidden = true;
    if (words) tell(told, words);
  }

  async function start() {
    const mine = ++turn;
    const going = () => mine === turn && place.isConnected;
    stopping.hidden = bar.hidden = false;
    bar.removeAttribute("value");
    if (!figure.isConnected) place.append(figure);
    tell("Beginning …");
    try {
      const request = { call: "cloth", picture: "threads", ...(await wanted()) };
      let ink = null;
      for (let row = 0; going(); ) {
        const reply = await ask({ ...request, from_row: row });
        if (!going()) return;
        if (!reply.ok) {
          stop();
          tell(reply.problem);
          return;
        }
        const { points, ends, picks, units_up: rows, next, millimetres } = reply;
        if (!ink) {
          const scale = Math.min(1, Math.sqrt(MOST / (points[0] * points[1])), LONGEST / Math.max(...points));
          [canvas.width, canvas.height] = points.map((count) => Math.round(count * scale));
          canvas.style.aspectRatio = millimetres.join(" / ");
          canvas.setAttribute("aria-label", `The cloth, ${grouped(ends)} ends and ${grouped(picks)} picks`);
          ink = canvas.getContext("2d");
        }
        const strip = Object.assign(new Image(), { src: `data:image/png;base64,${reply.png}` });
        await strip.decode();
        if (!going()) return;
        const [foot, top] = [row, next].map((one) => Math.round(canvas.height * (1 - one / rows)));
        ink.drawImage(strip, 0, top, canvas.width, foot - top);
        row = next;
        bar.value = row / rows;
        tell(row < rows ? `${grouped(row)} of ${grouped(rows)} rows of units` : `${grouped(ends)} ends, ${grouped(picks)} picks: every thread.`);
        if (row === rows) return stop();
      }
    } catch (problem) {
      if (!going()) return;
      stop();
      tell(`${problem.message} Try again.`);
    }
  }

  return { start, stop: (words) => figure.isConnected && stop(words) };
}
