// Writing a worked example: title, own words with numbers among them, what came out.

import { button, labelled, make } from "./parts.mjs";

const PAUSE = 400; // after the last letter

/** Put a figure's name in braces into a text, where the cursor stands. */
export function withFigure(text, start, end, name) {
  return `${text.slice(0, start)}{${name}}${text.slice(end)}`;
}

/** What a form of an example says, without the parts and measures left empty. */
export function storyOf(example, { title, weaver, question, parts, records }) {
  return {
    ...example,
    title: title.trim(),
    weaver: weaver.trim(),
    question: question.trim(),
    part: parts.filter(({ heading, text }) => heading.trim() || text.trim()),
    records: Object.fromEntries(Object.entries(records).filter(([, typed]) => typed.trim())),
  };
}

const entry = (settings = {}) => Object.assign(make("input", ""), { autocomplete: "off", ...settings });

function choice(first, pairs) {
  const select = make("select", "");
  select.append(new Option(first, ""), ...pairs.map(([value, words]) => new Option(words, value)));
  return select;
}

/** Make the form; every change is handed over once the writing pauses, and nothing waits for a button. */
export function storyForm(example, { figures, records: measurable, question: usual }, changed) {
  const form = make("form", "ft-story");
  const title = entry({ value: example.title, maxLength: 200 });
  const weaver = entry({ value: example.weaver ?? "", maxLength: 200 });
  const question = entry({ value: example.question ?? "", placeholder: usual });
  const parts = make("div", "");
  const measures = make("div", "");
  let turn = 0;
  let timer = 0;

  function said() {
    return storyOf(example, {
      title: title.value,
      weaver: weaver.value,
      question: question.value,
      parts: [...parts.children].map((part) => ({ heading: part.querySelector("input").value, text: part.querySelector("textarea").value })),
      records: Object.fromEntries([...measures.querySelectorAll("input")].map((input) => [input.name, input.value])),
    });
  }

  function handOver() {
    clearTimeout(timer);
    timer = 0;
    turn += 1;
    const mine = turn;
    return changed(said(), () => mine === turn);
  }

  function addPart({ heading = "", text = "" } = {}) {
    const part = make("fieldset", "");
    const head = entry({ value: heading, maxLength: 200 });
    const words = Object.assign(make("textarea", ""), { value: text, rows: 6 });
    const figure = choice("choose one", figures);
    figure.addEventListener("change", () => {
      const at = words.selectionStart + figure.value.length + 2;
      words.value = withFigure(words.value, words.selectionStart, words.selectionEnd, figure.value);
      figure.value = "";
      words.focus();
      words.setSelectionRange(at, at);
      handOver();
    });
    part.append(
      make("legend", "", "A part of the story"),
      labelled("Heading", head),
      labelled("Your own words; an empty line begins a new paragraph", words),
      labelled("Put a number in, which follows the plan", figure),
      button("Remove this part", () => {
        part.remove();
        handOver();
      }),
    );
    parts.append(part);
    return head;
  }

  const another = choice("choose one", measurable);
  function addMeasure(name, typed = "") {
    const words = measurable.find(([key]) => key === name)?.[1] ?? name;
    const input = entry({ name, value: typed });
    measures.append(labelled(`${words}, as it came out`, input));
    for (const option of another.options) if (option.value === name) option.disabled = true;
    return input;
  }
  another.addEventListener("change", () => {
    addMeasure(another.value).focus();
    another.value = "";
  });

  for (const part of example.part ?? []) addPart(part);
  for (const [name, typed] of Object.entries(example.records ?? {})) addMeasure(name, typed);
  form.append(
    labelled("Title", title),
    labelled("Weaver, if a name is to stand there", weaver),
    labelled("The question it answers", question),
    parts,
    button("Add a part of the story", () => addPart().focus()),
    measures,
    labelled("Add what was measured of the finished cloth", another),
  );
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(handOver, PAUSE);
  });
  form.addEventListener("change", () => timer && handOver()); // before a link is followed
  form.addEventListener("submit", (event) => event.preventDefault());
  return form;
}
