// Swapping: a link or form marked data-swap is fetched, and its page put in place of this one,
// with focus, scroll and opened boxes kept where the page is the same.

import { ask, haveKept, isAway, keep, sendAndShow } from "./kept.js";
import { aloud, onStrip, textOf, word } from "./says.js";

const shown = [];
let again = 0;
let latest = 0;

/** Have something done now and whenever another page was put in place. */
export function whenShown(work) {
  shown.push(work);
  work();
}

/** Begin: listen for links, forms, and the browser's way back. */
export function begin() {
  history.scrollRestoration = "auto";
  document.addEventListener("click", onClick);
  document.addEventListener("submit", onSubmit);
  addEventListener("popstate", () => go(location.href, { isBack: true }));
  lookAgainLater();
}

function onClick(event) {
  const link = event.target.closest?.("a[data-swap]");
  const isPlain = event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey;
  if (!link || !isPlain || event.defaultPrevented || link.origin !== location.origin) return;
  event.preventDefault();
  go(link.href);
}

/** Go to another page, or to this one with other words behind its question mark. */
export async function go(address, { isBack = false } = {}) {
  const mine = ++latest;
  try {
    await put(await ask(address), { mine, isBack });
  } catch {
    if (mine === latest) onStrip(word("away"));
  }
}

// --- forms ---------------------------------------------------------------------------------------------------

async function onSubmit(event) {
  const form = event.target;
  if (!form.matches("form[data-swap]") || event.defaultPrevented) return;
  event.preventDefault();
  const typed = new FormData(form, event.submitter);
  const address = event.submitter?.getAttribute("formaction") ?? form.getAttribute("action") ?? location.href;
  const to = new URL(address, location.href);
  if (form.method !== "post") {
    to.search = new URLSearchParams(typed);
    go(to.href);
    return;
  }
  if (form.dataset.busy) return; // a drip on the glass taps twice
  form.dataset.busy = "yes";
  await send(to.href, typed, labelOf(form, event.submitter));
  delete form.dataset.busy;
}

/** Say what a form holds, as it stands on the page: what was chosen, what was typed, else what was pressed. */
function labelOf(form, pressed) {
  const chosen = [...form.querySelectorAll("input:checked")].map((one) => one.closest("label"));
  const typed = [...form.querySelectorAll("input, textarea")].filter((one) => isTyped(one) && one.value.trim());
  const told = [...chosen.filter(Boolean).map(textOf), ...typed.map((one) => one.value.trim())];
  return told.join(", ") || (pressed ? textOf(pressed) : "");
}

const isTyped = (one) => !["hidden", "radio", "checkbox", "file", "submit"].includes(one.type);

async function send(address, typed, label) {
  if (typed.has("once")) typed.set("once", freshName());
  const isFile = [...typed.values()].some((value) => value instanceof File && value.size > 0);
  const body = isFile ? typed : new URLSearchParams([...typed].filter(([, value]) => typeof value === "string"));
  const canKeep = !isFile && typed.has("once");
  if (canKeep && haveKept()) {
    keep({ address, body: body.toString(), label });
    setTimeout(sendAndShow, 0); // in its turn, when this tap is done
    return;
  }
  const mine = ++latest;
  let answer;
  try {
    answer = await ask(address, { method: "POST", body });
  } catch {
    answer = null;
  }
  if (answer && !isAway(answer)) return put(answer, { mine, isSent: true });
  if (!canKeep || !keep({ address, body: body.toString(), label }, answer)) onStrip(word("lost"));
}

/** Make a name for one tap, so that it stands once however often it is sent, and in this garage alone. */
function freshName() {
  const bytes = crypto.getRandomValues(new Uint8Array(16)); // randomUUID is for https alone
  const name = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${document.documentElement.dataset.garage}.${name}`;
}

// --- putting a page in place -----------------------------------------------------------------------------------

async function put(answer, { mine, isBack = false, isSent = false, isQuiet = false }) {
  const kind = answer.headers.get("content-type") ?? "";
  const text = await answer.text();
  if (mine !== latest) return; // something else was asked for meanwhile
  if (!kind.startsWith("text/html")) return onStrip(text.trim());
  const page = new DOMParser().parseFromString(text, "text/html");
  if (!isSameHouse(page)) return location.assign(answer.url);
  onStrip("");
  const isSamePage = new URL(answer.url).pathname === location.pathname;
  if (!isBack && answer.url !== location.href)
    history[isSamePage || isQuiet ? "replaceState" : "pushState"]({}, "", answer.url);
  const was = isSamePage || isSent ? placeOf(document.activeElement) : null;
  const opened = isSamePage ? openedBoxes() : [];
  replaceBy(page);
  open(opened);
  if (isSamePage) refocus(was);
  else arrive(isBack);
  if (!isQuiet) aloud(whatToSay(isSamePage));
  for (const work of shown) work();
  lookAgainLater();
}

/** Say whether a page is one of ours with the same style and script; the door and a newer floatbowl are loaded whole. */
function isSameHouse(page) {
  const style = (where) => where.querySelector("link[rel=stylesheet]:last-of-type")?.getAttribute("href");
  return page.getElementById("away") !== null && style(page) === style(document);
}

function replaceBy(page) {
  document.title = page.title;
  for (const name of ["theme", "text"]) {
    const said = page.documentElement.dataset[name];
    if (said === undefined) delete document.documentElement.dataset[name];
    else document.documentElement.dataset[name] = said;
  }
  const [here, there] = [document.querySelector(".page"), page.querySelector(".page")];
  here.className = there.className;
  here.replaceChildren(...there.childNodes);
}

function arrive(isBack) {
  if (!isBack) scrollTo(0, 0);
  const asked = document.querySelector("main [autofocus]") ?? document.getElementById("main");
  asked?.focus({ preventScroll: true });
}

// A control is found again by what it is, not by where it stands.
function placeOf(control) {
  if (!control || !control.closest("main, .head")) return null;
  if (control.id) return `#${CSS.escape(control.id)}`;
  const name = control.localName;
  const tell = ["data-stop", "data-try", "href", "name", "value", "role"];
  const said = tell.filter((key) => control.hasAttribute(key)).slice(0, 2);
  return name + said.map((key) => `[${key}="${CSS.escape(control.getAttribute(key))}"]`).join("");
}

function refocus(was) {
  const wrong = document.querySelector("main [autofocus]");
  const there = wrong ?? (was && document.querySelector(was)) ?? document.getElementById("main");
  there.focus({ preventScroll: !wrong });
}

const boxName = (box) => box.querySelector("summary")?.textContent.trim();
const openedBoxes = () => [...document.querySelectorAll("main details[open]")].map(boxName);
function open(names) {
  for (const box of document.querySelectorAll("main details")) if (names.includes(boxName(box))) box.open = true;
}

function whatToSay(isSamePage) {
  const told = document.querySelector("main [role=alert], main [role=status], main .said-now");
  const sentence = isSamePage ? document.querySelector("main .sentence:not([hidden])") : null;
  return textOf(told ?? sentence ?? document.querySelector("title"));
}

// --- a page that is still being thought about --------------------------------------------------------------------

function lookAgainLater() {
  clearTimeout(again);
  const wait = Number(document.getElementById("main")?.dataset.again);
  if (wait) again = setTimeout(lookAgain, wait);
}

async function lookAgain() {
  if (isInHand()) return lookAgainLater();
  const mine = ++latest;
  try {
    await put(await ask(location.href), { mine, isQuiet: true });
    if (!document.getElementById("main").dataset.again) aloud(whatToSay(true));
  } catch {
    lookAgainLater(); // away: nothing was asked of it by hand, so nothing is said
  }
}

/** Say whether somebody is in the middle of something that a fresh page would take out of their hands. */
function isInHand() {
  if (document.querySelector("[data-dragged], main form[data-busy]")) return true;
  const fields = document.querySelectorAll("main input:not([type=hidden]), main select, main textarea");
  return [...fields].some((one) =>
    one.localName === "select"
      ? [...one.options].some((option) => option.selected !== option.defaultSelected)
      : one.type === "radio" || one.type === "checkbox"
        ? one.checked !== one.defaultChecked
        : one.value !== one.defaultValue,
  );
}
