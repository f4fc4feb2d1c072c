// The page's own words, and how they are said: aloud in the live region, or on the strip at the foot.

const strip = () => document.getElementById("away");

/** Give the words that the page holds under a name. */
export const word = (name) => strip()?.dataset[name] ?? "";

/** Give the text of something as it is read aloud: pictures in it have their words beside them. */
export function textOf(thing) {
  const read = thing.cloneNode(true);
  for (const one of read.querySelectorAll("svg, [aria-hidden]")) one.remove();
  return read.textContent.trim().replace(/\s+/g, " ");
}

/** Say something to whoever does not see the page change. */
export function aloud(text) {
  const live = document.getElementById("live");
  if (!live) return;
  live.textContent = "";
  setTimeout(() => (live.textContent = text), 60); // the same words twice are said twice
}

/** Show a sentence on the strip at the foot, with lines below it; empty hides it. */
export function onStrip(sentence, lines = []) {
  const there = strip();
  if (!there) return;
  const told = [sentence, ...lines].filter(Boolean).map((line) => {
    const p = document.createElement("p");
    p.textContent = line;
    return p;
  });
  there.replaceChildren(...told);
  there.hidden = told.length === 0;
}
