// What answers a question, and in which order. It knows no page: Node runs it as a browser does.

import MiniSearch from "./minisearch.mjs";
import { stemmer } from "./stemmer.mjs";

const ENTRY = ["kind", "at", "title", "also", "asked", "text"]; // as scripts/pages/search_list.py writes it
// What a word is worth where it stands: headings first, then other names, then what is asked there.
const boost = { title: 4, also: 4, asked: 3, text: 1, around: 0.6 };
// A trouble or a calculator answers a question of the loom itself; reports of checks come last.
const STANDING = { calculator: 1.1, trouble: 1.15, part: 1, term: 1, example: 0.8, page: 0.9, formula: 0.5, source: 0.25, record: 0.15 };
const ANOTHER_WORD = 0.4; // a word of the list against the very word of the question
const BEGINNING = 0.2;
const MISSPELT = 0.8;
const PASSED = 0.2; // a word that tells little, within a phrase
const NEARNESS = 1; // a phrase like the question, against the words wherever they stand
const OWN_NAME = 2; // the question is the very name of the place
const CALCULATED = 1.6; // how much, what is: the question says what kind of answer it wants
const EXPLAINED = 2;
const ORDINARY = 7; // a word's score, per rarity, at which half of all it can give is reached

const OF_TWO = { æ: "ae", ø: "o", ß: "ss" };

/** Text in the letters of a question: small, without accents and apostrophes. */
const plain = (text) => {
  const small = text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]|[’']s\b|[’']/g, "");
  return small.replace(/[æøß]/g, (letter) => OF_TWO[letter]);
};
const WORD = /[a-z]+-\d+|\d+(?:[/.,-]\d+)*|[a-z]+/g; // W-502, 16/2, warp
const PASSED_OVER = new Set(
  plain(
    `a about after again all also always am an and any anything are aren't as at away be because been before being best better
    bit but by came can can't cannot come comes could did didn't do does doesn't doing don't done each else ever every find
    for from gave get gets getting give go goes going good got had happen happened happens has have having help here how i
    if in into is isn't it its just keep keeps know later less like look looks made make makes making many may maybe me mean
    meaning means might more most much must my need needed needs never no not now of off often on once one only or other our
    out please possible properly put puts really said same say seem seems shall should since so some something still such
    take than that the their them then there these they thing things think this those though thought to too try trying until
    up us use used using very want wanted wants was way we went were what when where which while who why will with without
    won't work works would yet you your`,
  ).split(/\s+/),
);

const MEANT = [
  [/\b(how (many|much|long|far|often|heavy|wide|big)|convert|calculate|work out|to \w+$)\b/, "calculator", CALCULATED],
  [/^(what( is| are|s)( an?| the)? (\w+ ?){1,2}$|what does .* (mean|do)\b)|\b(meaning|definition) of\b|\bmeaning$/, "term", EXPLAINED],
];

const words = (text) => plain(text).match(WORD) ?? [];

/** Read the list of all that can be found, and return the function that finds. */
export async function reader({ same, alike, entries }) {
  const [firsts, met] = [new Map(), new Map()];
  for (const [first, ...others] of same) {
    for (const form of [first, ...others]) firsts.set(stemmer(form), stemmer(first));
  }
  const ending = (word) => {
    if (!met.has(word)) met.set(word, stemmer(word));
    return met.get(word);
  };
  const stem = (word) => firsts.get(ending(word)) ?? ending(word);
  const stems = (text) => words(text).map(stem);
  const groups = alike.map((group) => group.map(stems));
  const passed = new Set([...PASSED_OVER].map(stem));

  const listed = entries.map((row, id) => ({ id, ...Object.fromEntries(ENTRY.map((name, place) => [name, row[place]])) }));
  const pages = new Map(listed.map((one) => [one.at, one]));
  for (const one of listed) {
    one.page = pages.get(one.at.split("#")[0]);
    one.around = one.kind === "part" || one.kind === "example" ? `${one.page.title} ${one.page.also}` : "";
    const names = [one.title, ...(one.kind === "term" ? one.also.split(";") : [])];
    one.names = new Set(names.map((name) => stems(name.replace(/\(.*?\)/g, "")).join(" ")));
  }
  const index = new MiniSearch({
    fields: Object.keys(boost),
    tokenize: words,
    // A broken thread is found under break, and under the very word where that is misspelt.
    processTerm: (word) => (PASSED_OVER.has(word) ? null : [...new Set([stem(word), ending(word)])]),
    searchOptions: {
      boost,
      bm25: { k: 1, b: 0.9, d: 0.5 },
      combineWith: "AND",
      tokenize: (text) => text.split(" "),
      processTerm: (word) => word,
    },
  });
  await index.addAllAsync(listed, { chunkSize: 100 });
  const rarity = (count) => Math.log(1 + listed.length / Math.max(1, count));

  const phrases = listed.flatMap(({ id, title, also, asked }) =>
    [title, ...also.split(/[;?]/), ...asked.split(",")].map((text) => ({ id, stems: [...new Set(stems(text))] })),
  );
  const holding = new Map();
  phrases.forEach((phrase, number) => {
    for (const one of phrase.stems) {
      if (!holding.has(one)) holding.set(one, []);
      holding.get(one).push(number);
    }
  });
  const weigh = (one) => Math.log(1 + phrases.length / (1 + (holding.get(one)?.length ?? 0))) * (passed.has(one) ? PASSED : 1);
  for (const phrase of phrases) phrase.weight = phrase.stems.reduce((sum, one) => sum + weigh(one), 0);

  /** How near each entry's nearest phrase comes to the question, given the words that may stand for each of its words. */
  function nearest(asked) {
    const shared = new Map();
    let weight = 0;
    for (const [word, others] of asked) {
      weight += weigh(word);
      const best = new Map();
      for (const [other, worth] of [[word, 1], ...others]) {
        for (const number of holding.get(other) ?? []) {
          if (worth > (best.get(number)?.worth ?? 0)) best.set(number, { worth, own: worth * weigh(other) });
        }
      }
      for (const [number, { worth, own }] of best) {
        const sum = shared.get(number) ?? { asked: 0, own: 0 };
        shared.set(number, { asked: sum.asked + worth * weigh(word), own: sum.own + own });
      }
    }
    const near = new Map();
    for (const [number, sum] of shared) {
      const { id, weight: own } = phrases[number];
      const both = ((sum.asked / weight) * (1 + Math.min(1, sum.own / own))) / 2;
      if (both > (near.get(id) ?? 0)) near.set(id, both);
    }
    return near;
  }

  /** Find the entries for a question, best first, and the words of the list that led there. */
  return function find(question) {
    const all = stems(question);
    const telling = words(question).filter((word) => !PASSED_OVER.has(word)).map(stem);
    const wanted = [...new Set(telling.length ? telling : all)];
    const led = new Set();
    const standing = new Map(all.map((word) => [word, new Map()])); // for each word, those that may stand for it

    /** How well each entry holds a phrase, from nothing to the share. */
    function held(phrase, share, options, word) {
      const found = index.search(phrase.join(" "), options);
      const usual = ORDINARY * phrase.length * rarity(found.length);
      return found.map(({ id, score, terms }) => {
        for (const term of terms) {
          led.add(term);
          if (word) standing.get(word).set(term, share);
        }
        return [id, (share * score) / (score + usual)];
      });
    }

    const answers = wanted.map((word) => new Map(held([word], 1)));
    const keepBest = (place, found) => {
      for (const [id, score] of found) if (score > (answers[place].get(id) ?? 0)) answers[place].set(id, score);
    };
    wanted.forEach((word, place) => {
      if (word.length > 2) keepBest(place, held([word], BEGINNING, { prefix: true }, word));
    });
    const rare = answers.map((found) => rarity(found.size));
    for (const [places, others] of replacements(all, wanted, groups)) {
      for (const other of others) {
        const found = held(other, ANOTHER_WORD);
        for (const place of places) {
          keepBest(place, found);
          for (const one of other) standing.get(wanted[place]).set(one, ANOTHER_WORD / other.length);
        }
      }
    }
    wanted.forEach((word, place) => {
      if (answers[place].size || word.length < 4) return;
      keepBest(place, held([word], MISSPELT, { fuzzy: word.length > 5 ? 2 : 1 }, word));
      rare[place] = rarity(answers[place].size);
    });

    const whole = rare.reduce((sum, one) => sum + one, 0);
    const [scores, shares] = [new Map(), new Map()];
    answers.forEach((found, place) => {
      for (const [id, score] of found) {
        scores.set(id, (scores.get(id) ?? 0) + (rare[place] / whole) * score);
        shares.set(id, (shares.get(id) ?? 0) + rare[place] / whole);
      }
    });
    const near = nearest(standing);
    const name = listed.some(({ names }) => names.has(all.join(" "))) ? all.join(" ") : telling.join(" ");
    const text = plain(question);
    const meant = new Map(MEANT.filter(([form]) => form.test(text)).map(([, ...one]) => one));
    const found = [...scores].map(([id, score]) => {
      const one = listed[id];
      const likeness = score * shares.get(id) + NEARNESS * (near.get(id) ?? 0);
      return { ...one, score: likeness * STANDING[one.kind] * (one.names.has(name) ? OWN_NAME : 1) * (meant.get(one.kind) ?? 1) };
    });
    found.sort((one, other) => other.score - one.score || one.id - other.id);
    return { found, leads: (word) => words(word).some((one) => led.has(stem(one)) || led.has(ending(one))) };
  };
}

/** The words of the question that have others for them: their places, and the others. */
function replacements(all, wanted, groups) {
  return groups.flatMap((group) =>
    group.flatMap((phrase, own) => {
      const places = [...new Set(phrase.map((word) => wanted.indexOf(word)).filter((place) => place >= 0))];
      const stands = all.some((_, from) => phrase.every((word, step) => all[from + step] === word));
      return stands && places.length ? [[places, group.filter((_, other) => other !== own)]] : [];
    }),
  );
}
