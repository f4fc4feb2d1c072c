// The notebook of a take-along: ride notes kept in this browser, and handed out as text. Each has a name of its
// own, under which a garage takes it once.

import { begin as beginMoving } from "./slide.js";
import { aloud } from "./says.js";

const book = document.querySelector("[data-notes]");
const words = book.dataset;
let notes = kept();

beginMoving();
book.hidden = false;
document.querySelector("[data-no-script]").remove();
for (const one of document.querySelectorAll("[data-fit]")) {
  one.hidden = false;
  one.addEventListener("click", () => note("fitted", one.dataset.fit));
}
book.querySelector("form").addEventListener("submit", say);
book.querySelector("[data-copy]").addEventListener("click", copy);
book.querySelector("[data-save]").addEventListener("click", save);
show();

// --- keeping -----------------------------------------------------------------------------------------------------

function kept() {
  try {
    const found = JSON.parse(localStorage.getItem(words.notes) ?? "[]");
    return Array.isArray(found) ? found : [];
  } catch {
    return [];
  }
}

function keep() {
  try {
    localStorage.setItem(words.notes, JSON.stringify(notes));
    return true;
  } catch {
    return false; // full, or switched off for files
  }
}

function note(what, text) {
  const uid = [...crypto.getRandomValues(new Uint8Array(8))].map((one) => one.toString(16).padStart(2, "0")).join("");
  notes.push({ uid, when: `${new Date().toISOString().slice(0, 16)}Z`, what, text });
  show();
  aloud(`${what} ${text}`);
}

// --- saying ------------------------------------------------------------------------------------------------------

function say(event) {
  event.preventDefault();
  const said = new FormData(event.target);
  const [did, at] = [said.get("did"), said.get("at")];
  const isElsewhere = did && event.target.querySelector("[name=did]:checked").dataset.elsewhere !== undefined;
  const lack = !did ? words.what : at === null && !isElsewhere ? words.where : "";
  const told = book.querySelector("[data-lack]");
  told.textContent = lack;
  told.hidden = !lack;
  if (lack) return aloud(lack);
  note("said", [did, at, ...["how", "engine", "often"].map((name) => said.get(name))].filter(Boolean).join(", "));
  for (const one of event.target.querySelectorAll("[name=did], [name=at], [name=how]")) one.checked = false;
}

// --- showing -----------------------------------------------------------------------------------------------------

function show() {
  book.querySelector("[data-not-kept]").hidden = keep();
  book.querySelector("[data-none]").hidden = notes.length > 0;
  book.querySelector("[data-list]").replaceChildren(...notes.map(line));
  book.querySelector("textarea").value = asText();
  const fitted = notes.filter((one) => one.what === "fitted").map((one) => one.text);
  for (const one of document.querySelectorAll("[data-fitted]")) {
    one.hidden = fitted.length === 0;
    one.querySelector("b").textContent = fitted.join("; ");
  }
}

function line(one) {
  const [item, told, when, out] = ["li", "span", "small", "button"].map((tag) => document.createElement(tag));
  told.className = "told-words";
  told.textContent = `${one.what} ${one.text} `;
  when.textContent = new Date(one.when).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
  told.append(when);
  out.className = "act act-small";
  out.type = "button";
  out.textContent = words.out;
  out.addEventListener("click", () => {
    notes = notes.filter((other) => other !== one);
    show();
  });
  item.append(told, out);
  return item;
}

function asText() {
  const lines = notes.map((one) => `${one.when} ${one.uid} ${one.what} ${one.text}`);
  return [words.head, words.began, ...lines, `END ${notes.length}`, ""].join("\n");
}

// --- handing out -------------------------------------------------------------------------------------------------

async function copy() {
  const text = book.querySelector("textarea");
  try {
    await navigator.clipboard.writeText(text.value);
    tell(words.copied);
  } catch {
    text.focus();
    text.select();
    tell(words.byHand);
  }
}

function tell(sentence) {
  book.querySelector("[data-told]").textContent = sentence;
}

function save() {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([asText()], { type: "text/plain" }));
  link.download = words.file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
