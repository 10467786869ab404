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
  [/\b(how (many|much|far|often|heavy|wide|big|long(?! to| does it| will it| until))|convert|calculate|work out)\b/, "calculator", CALCULATED],
  [/^(what( is| are|s|(?= an? ))( an?| the)? (\w+ ?){1,2}$|what does .* (mean|do)\b)|\b(meaning|definition) of\b|\bmeaning$/, "term", EXPLAINED],
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
  const passed = new Set([...PASSED_OVER].map(stem));
  const tellingOf = (all) => all.filter((one) => !passed.has(one));
  const groups = alike.map((group) => group.map(stems));

  const listed = entries.map((row, id) => ({ id, ...Object.fromEntries(ENTRY.map((name, place) => [name, row[place]])) }));
  const pages = new Map(listed.map((one) => [one.at, one]));
  const named = new Map();
  for (const one of listed) {
    one.page = pages.get(one.at.split("#")[0]);
    one.around = one.kind === "part" || one.kind === "example" ? `${one.page.title} ${one.page.also}` : "";
    for (const name of [one.title, ...(one.kind === "term" ? one.also.split(";") : [])]) {
      const own = stems(name.replace(/\(.*?\)/g, "")).join(" ");
      named.set(own, (named.get(own) ?? new Set()).add(one.id));
    }
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
  const weights = new Map();
  for (const [one, { length }] of holding) weights.set(one, Math.log(1 + phrases.length / (1 + length)) * (passed.has(one) ? PASSED : 1));
  const unheard = Math.log(1 + phrases.length);
  const weigh = (one) => weights.get(one) ?? unheard;
  for (const phrase of phrases) phrase.weight = phrase.stems.reduce((sum, one) => sum + weigh(one), 0);

  /** How near each entry's nearest phrase comes to the question, by the words that may stand for each of its words. */
  function nearest(standing) {
    const [asked, own] = [new Float64Array(phrases.length), new Float64Array(phrases.length)];
    let whole = 0;
    for (const [word, others] of standing) {
      whole += weigh(word);
      const best = new Map();
      for (const [other, worth] of [...others, [word, 1]].sort(([, one], [, another]) => one - another)) {
        for (const number of holding.get(other) ?? []) best.set(number, [worth, other]);
      }
      for (const [number, [worth, other]] of best) {
        asked[number] += worth * weigh(word);
        own[number] += worth * weigh(other);
      }
    }
    const near = new Float64Array(listed.length);
    phrases.forEach(({ id, weight }, number) => {
      if (!asked[number]) return;
      const both = ((asked[number] / whole) * (1 + Math.min(1, own[number] / weight))) / 2;
      if (both > near[id]) near[id] = both;
    });
    return near;
  }

  /** Find the entries for a question, best first, and the words of the list that led there. */
  return function find(question) {
    const all = stems(question);
    const telling = tellingOf(all);
    const wanted = [...new Set(telling.length ? telling : all)];
    const led = new Set();
    const standing = new Map(all.map((word) => [word, new Map()])); // for each word, those that may stand for it
    const answers = wanted.map(() => new Float64Array(listed.length));

    /** Note how well each entry holds a phrase in place of some words, from nothing to the share; tell how many do. */
    function hold(places, phrase, share, options) {
      const found = index.search(phrase.join(" "), options);
      const usual = ORDINARY * phrase.length * rarity(found.length);
      for (const { id, score, terms } of found) {
        const held = (share * score) / (score + usual);
        for (const place of places) if (held > answers[place][id]) answers[place][id] = held;
        for (const term of terms) {
          led.add(term);
          for (const place of places) {
            const others = standing.get(wanted[place]);
            if (!(others.get(term) > share / phrase.length)) others.set(term, share / phrase.length);
          }
        }
      }
      return found.length;
    }

    const rare = wanted.map((word, place) => {
      const exact = hold([place], [word], 1);
      const longer = word.length > 2 && (!exact || place === wanted.length - 1) ? hold([place], [word], BEGINNING, { prefix: true }) : 0;
      return rarity(Math.max(exact, longer));
    });
    for (const [places, others] of replacements(all, wanted, groups)) {
      for (const other of others) hold(places, tellingOf(other), ANOTHER_WORD);
    }
    wanted.forEach((word, place) => {
      if (word.length < 4 || answers[place].some(Boolean)) return;
      rare[place] = rarity(hold([place], [word], MISSPELT, { fuzzy: word.length > 5 ? 2 : 1 }));
    });

    const whole = rare.reduce((sum, one) => sum + one, 0);
    const near = nearest(standing);
    const name = [all, telling].map((one) => one.join(" ")).find((one) => named.has(one));
    const meant = new Map(MEANT.filter(([form]) => form.test(plain(question))).map(([, kind, worth]) => [kind, worth]));
    const scores = listed.map(({ id, kind }) => {
      let [score, share] = [0, 0];
      answers.forEach((held, place) => {
        score += (rare[place] / whole) * held[id];
        if (held[id]) share += rare[place] / whole;
      });
      const likeness = score * share + NEARNESS * near[id];
      return likeness * STANDING[kind] * (meant.get(kind) ?? 1) * (named.get(name)?.has(id) ? OWN_NAME : 1);
    });
    const found = listed.filter(({ id }) => scores[id]).sort((one, other) => scores[other.id] - scores[one.id] || one.id - other.id);
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
