// Taps made while the garage is away are kept in this browser and sent in their order when it is back.
// Each has a name of its own, under which the garage writes it down once, however often it arrives.

import { aloud, onStrip, textOf, word } from "./says.js";
import { go } from "./swap.js";

const EVERY = 3000;
let timer = 0;
let sending = null;

/** What is kept is kept for one garage: another one at the same address does not get it. */
const shelf = () => `floatbowl-kept-${document.documentElement.dataset.garage}`;

function kept() {
  try {
    return JSON.parse(localStorage.getItem(shelf()) ?? "[]");
  } catch {
    return [];
  }
}

function put(entries) {
  try {
    if (entries.length) localStorage.setItem(shelf(), JSON.stringify(entries));
    else localStorage.removeItem(shelf());
    return true;
  } catch {
    return false; // full, or switched off
  }
}

/** Say whether something waits to be sent. */
export const haveKept = () => kept().length > 0;

/** Keep one entry; false when this browser keeps nothing. */
export function keep(entry) {
  if (!put([...kept(), entry])) return false;
  tell("kept");
  aloud(word("kept"));
  tryLater();
  return true;
}

/** Begin: what was kept before is sent now, and again whenever the network comes back. */
export function begin() {
  addEventListener("online", () => sendAndShow());
  if (haveKept()) sendAndShow();
}

function tell(name) {
  const count = kept().length;
  onStrip(word(name), count ? [`${count} ${word("waiting")} ${kept().map((one) => one.label).join("; ")}.`] : []);
}

function tryLater() {
  clearTimeout(timer);
  if (haveKept()) timer = setTimeout(sendAndShow, EVERY);
}

async function sendAndShow() {
  if ((await sendKept()) && !document.querySelector("main form[data-busy]")) await go(location.href);
}

/** Send what is kept, one after the other; true when something was sent and nothing is left. */
export function sendKept() {
  sending ??= sendAll().finally(() => (sending = null));
  return sending;
}

async function sendAll() {
  const refused = [];
  let count = 0;
  while (haveKept()) {
    const [first] = kept();
    const outcome = await sendOne(first);
    if (outcome === "away" || outcome === "door") {
      tell(outcome === "door" ? "door" : "kept");
      tryLater();
      return false;
    }
    if (outcome !== "sent") refused.push(`${first.label}: ${outcome}`);
    put(kept().filter((one) => one.body !== first.body));
    count += 1;
  }
  if (count) setTimeout(() => say(refused), 0);
  return count > 0;
}

function say(refused) {
  const words = refused.length ? word("refused") : word("sent");
  aloud([words, ...refused].join(" "));
  setTimeout(() => onStrip(words, refused), 400); // after the page that shows what is written down
  if (!refused.length) setTimeout(() => onStrip(""), 6000);
}

/** Send one entry: "sent", "away", "door", or the sentence with which the garage refused it. */
async function sendOne({ address, body }) {
  const headers = { "Content-Type": "application/x-www-form-urlencoded;charset=UTF-8", Accept: "text/html" };
  let answer;
  try {
    answer = await fetch(address, { method: "POST", body, headers, redirect: "manual" });
  } catch {
    return "away";
  }
  if (answer.type === "opaqueredirect" || answer.ok) return "sent"; // it goes on to a page: it was written down
  if (answer.status === 401) return "door";
  if (answer.status >= 500 || answer.status === 408) return "away";
  const text = await answer.text();
  const page = new DOMParser().parseFromString(text, "text/html");
  return textOf(page.querySelector("[role=alert], .sentence") ?? page.body);
}
