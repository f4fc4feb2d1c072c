// Taps made while the garage is away are kept in this browser and sent in their order when it is back.
// Each has a name of its own, under which the garage writes it down once, however often it arrives.

import { aloud, onStrip, textOf, word } from "./says.js";
import { go } from "./swap.js";

const EVERY = 3000; // ms between tries
const PATIENCE = 10000; // ms for an answer: a laptop that was shut neither answers nor refuses
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

/** Ask the garage for something, and not wait for ever; a file takes as long as it takes. */
export function ask(address, how = {}) {
  const signal = how.body instanceof FormData ? undefined : AbortSignal.timeout?.(PATIENCE);
  return fetch(address, { ...how, headers: { Accept: "text/html", ...how.headers }, signal });
}

/** Say whether an answer means that nothing was looked at: the door is shut, the house full, the record not to be opened. */
export const isAway = (answer) => [401, 408, 425, 429, 502, 503, 504].includes(answer.status);

/** Keep one entry; false when this browser keeps nothing. `answer` is what the garage said, if it did. */
export function keep(entry, answer = null) {
  if (!put([...kept(), entry])) return false;
  const name = answer?.status === 401 ? "door" : "kept";
  tell(name);
  aloud(word(name));
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

/** Send what is kept, show the page as it is then, and say what became of it. */
export async function sendAndShow() {
  const refused = await sendKept();
  if (!refused) return;
  if (!document.querySelector("main form[data-busy]")) await go(location.href);
  say(refused);
}

// One after the other, and never twice at a time. Gives what was refused; nothing when there is nothing to tell.
function sendKept() {
  sending ??= sendAll().finally(() => (sending = null));
  return sending;
}

async function sendAll() {
  const refused = [];
  let count = 0;
  while (haveKept()) {
    const [first] = kept();
    const outcome = await sendOne(first);
    if (outcome === "elsewhere") return null; // another garage answers here now: this one's taps wait for theirs
    if (outcome === "away" || outcome === "door") {
      tell(outcome === "door" ? "door" : "kept");
      tryLater();
      return null;
    }
    if (outcome !== "sent") refused.push(`${first.label}: ${outcome}`);
    put(kept().filter((one) => one.body !== first.body));
    count += 1;
  }
  return count ? refused : null;
}

function say(refused) {
  const words = refused.length ? word("refused") : word("sent");
  aloud([words, ...refused].join(" "));
  onStrip(words, refused);
  if (!refused.length) setTimeout(() => onStrip(""), 6000);
}

/** Send one entry: "sent", "away", "door", "elsewhere", or the sentence with which the garage refused it. */
async function sendOne({ address, body }) {
  const headers = { "Content-Type": "application/x-www-form-urlencoded;charset=UTF-8" };
  let answer;
  try {
    answer = await ask(address, { method: "POST", body, headers, redirect: "manual" });
  } catch {
    return "away";
  }
  if (answer.type === "opaqueredirect" || answer.ok) return "sent"; // it goes on to a page: it was written down
  if (answer.status === 409) return "elsewhere";
  if (isAway(answer)) return answer.status === 401 ? "door" : "away";
  const text = await answer.text();
  const page = new DOMParser().parseFromString(text, "text/html");
  return textOf(page.querySelector("[role=alert], .sentence") ?? page.body);
}
