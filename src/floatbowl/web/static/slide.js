// The slide under the finger. The server draws both stops; here only what moves is moved between them,
// and no geometry is known: paths by their numbers at the stops, groups by so much a millimetre,
// and what has no even way by a table.

import { aloud, textOf, word } from "./says.js";

const STEP = 0.25; // mm for an arrow key
const REST = 350; // ms until the slide counts as at rest
const GLIDE = 160; // ms from rung to rung

let bench = null;

/** Begin: take hold of the bench that stands on the page, with the slide where it was if it is the same one. */
export function begin() {
  const root = document.querySelector("[data-bench]");
  if (!root || root === bench?.root) return;
  const was = bench && bench.key === keyOf() ? bench.lift : null;
  bench?.leave();
  bench = new Bench(root, keyOf());
  if (was !== null && bench.isMoved) bench.move(was);
}

const keyOf = () => location.pathname;

class Bench {
  constructor(root, key) {
    this.root = root;
    this.key = key;
    this.figures = [...root.querySelectorAll("figure > svg[data-lift]")].map((svg) => ({ svg, parts: null }));
    const { lift, shutLift, fullLift } = this.figures[0]?.svg.dataset ?? {};
    this.shut = Number(shutLift);
    this.full = Number(fullLift);
    this.lift = Number(lift);
    this.isMoved = this.figures.length > 0 && this.full > this.shut;
    this.says = [...root.querySelectorAll("[data-at]")];
    this.stops = [...root.querySelectorAll("[data-stop]")];
    this.rungs = this.says.map((one) => Number(one.dataset.lift)).sort((a, b) => a - b);
    this.frame = 0;
    if (this.isMoved) this.wake();
  }

  wake() {
    this.grips = this.figures.map(({ svg }) => this.grip(svg));
    this.root.addEventListener("click", (event) => this.onStop(event));
    this.root.addEventListener("pointerdown", (event) => this.onHold(event));
    // Shapes within a picture know no touch-action: else the page would scroll under the finger.
    this.root.addEventListener("touchstart", (event) => this.heldAt(event) && event.preventDefault(), { passive: false });
    this.root.dataset.awake = "yes";
    this.tell();
  }

  /** Give up: a frame still to come would move what is gone. */
  leave() {
    cancelAnimationFrame(this.frame);
    clearTimeout(this.resting);
  }

  // --- what is held ------------------------------------------------------------------------------------------

  grip(svg) {
    const grip = document.createElement("div");
    grip.className = "grip";
    grip.tabIndex = 0;
    const told = { role: "slider", "aria-label": word("slide"), "aria-orientation": "vertical" };
    const ends = { "aria-valuemin": this.shut.toFixed(2), "aria-valuemax": this.full.toFixed(2) };
    for (const [name, value] of Object.entries({ ...told, ...ends })) grip.setAttribute(name, value);
    grip.addEventListener("keydown", (event) => this.onKey(event));
    svg.closest("figure").append(grip);
    return grip;
  }

  onKey(event) {
    const step = { ArrowUp: STEP, ArrowRight: STEP, ArrowDown: -STEP, ArrowLeft: -STEP }[event.key];
    const rung = { PageUp: 1, PageDown: -1 }[event.key];
    const end = { Home: this.shut, End: this.full }[event.key];
    if (step === undefined && rung === undefined && end === undefined) return;
    event.preventDefault();
    this.move(end ?? (step ? this.lift + step : this.nextRung(rung)));
  }

  nextRung(way) {
    const beyond = this.rungs.filter((lift) => (lift - this.lift) * way > 0.01);
    return (way > 0 ? beyond[0] : beyond.at(-1)) ?? (way > 0 ? this.full : this.shut);
  }

  onStop(event) {
    const stop = event.target.closest("[data-stop]");
    if (!stop || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    this.glide(Number(stop.dataset.lift));
  }

  onHold(event) {
    const held = this.heldAt(event);
    if (!held || event.button !== 0 || this.held) return;
    const svg = held.closest("figure").querySelector("svg[data-lift]");
    event.preventDefault();
    this.held = { from: event.clientY, lift: this.lift, pixels: this.pixelsPerMm(held, svg) };
    this.root.dataset.dragged = "yes";
    const move = (to) => this.move(this.held.lift + (this.held.from - to.clientY) / this.held.pixels);
    const drop = () => {
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", drop);
      removeEventListener("pointercancel", drop);
      this.held = null;
      delete this.root.dataset.dragged;
    };
    addEventListener("pointermove", move);
    addEventListener("pointerup", drop);
    addEventListener("pointercancel", drop);
    svg.closest("figure").querySelector(".grip").focus({ preventScroll: true });
  }

  /** Give what of the slide was touched, if it was touched. */
  heldAt(event) {
    const held = event.target.closest(".grip, [data-rise]");
    return held?.closest("figure")?.querySelector("svg[data-lift]") ? held : null;
  }

  /** Give how far the finger goes for a millimetre of lift: as far as what it holds. */
  pixelsPerMm(held, svg) {
    const rising = held.closest("[data-rise]") ?? svg.querySelector("[data-rise]");
    const scale = rising.parentElement.getScreenCTM()?.d ?? 1;
    return Math.max(0.5, Number(rising.dataset.rise) * scale);
  }

  // --- moving ------------------------------------------------------------------------------------------------

  /** Move the slide to a lift in mm; drawn with the next frame. */
  move(lift) {
    this.lift = Math.min(this.full, Math.max(this.shut, lift));
    this.frame ||= requestAnimationFrame(() => this.draw());
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.rest(), REST);
  }

  glide(to) {
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) return this.move(to);
    const [from, began] = [this.lift, performance.now()];
    const on = (now) => {
      const share = Math.min(1, (now - began) / GLIDE);
      this.move(from + (to - from) * share * (2 - share));
      if (share < 1 && !this.held && bench === this) requestAnimationFrame(on);
    };
    requestAnimationFrame(on);
  }

  draw() {
    this.frame = 0;
    const began = performance.now();
    const share = (this.lift - this.shut) / (this.full - this.shut);
    for (const figure of this.figures) {
      if (figure.svg.getClientRects().length === 0) continue; // the other size's picture
      figure.parts ??= partsOf(figure.svg);
      for (const part of figure.parts) part(this.lift, share);
    }
    this.others ??= [...this.root.querySelectorAll("svg:not([data-lift], [data-lift] *)")].flatMap(partsOf);
    for (const part of this.others) part(this.lift, share);
    this.tell();
    took(performance.now() - began);
  }

  /** Show the sentence and the row of the nearest rung, and where the slide stands. */
  tell() {
    const near = this.says.reduce((best, one) => (this.far(one) < this.far(best) ? one : best), this.says[0]);
    const at = near?.dataset.at;
    if (at !== this.at) {
      this.at = at;
      for (const one of this.says) one.hidden = one !== near;
      for (const stop of this.stops) {
        if (stop.dataset.stop === at) stop.setAttribute("aria-current", "true");
        else stop.removeAttribute("aria-current");
      }
    }
    const millimetres = `${this.lift.toFixed(2)} mm`;
    for (const grip of this.grips) {
      grip.textContent = millimetres;
      grip.setAttribute("aria-valuenow", this.lift.toFixed(2));
      grip.setAttribute("aria-valuetext", `${millimetres}, ${this.aloudAt(at)}`);
    }
  }

  far(one) {
    return Math.abs(Number(one.dataset.lift) - this.lift);
  }

  aloudAt(at) {
    const stop = this.stops.find((one) => one.dataset.stop === at);
    return stop?.querySelector(".unseen")?.textContent.trim() ?? at;
  }

  rest() {
    const here = this.says.find((one) => !one.hidden);
    const sentence = here && textOf(here);
    if (sentence && sentence !== this.said) aloud(sentence);
    this.said = sentence;
    if (!location.protocol.startsWith("http")) return; // a file keeps its address
    const address = new URL(location.href);
    address.searchParams.set("at", this.at);
    history.replaceState(history.state, "", address);
  }
}

// --- the parts that move, each a function of the lift --------------------------------------------------------------

function partsOf(root) {
  const parts = [];
  for (const one of root.querySelectorAll("[data-full]")) parts.push(path(one));
  for (const one of root.querySelectorAll("[data-rise]")) parts.push(rise(one));
  for (const one of root.querySelectorAll("[data-table]")) parts.push(tabled(one));
  return parts;
}

function path(one) {
  const numbers = (text) => Float64Array.from(text.trim().split(/\s+/), Number);
  const [shut, full] = [numbers(one.dataset.shut), numbers(one.dataset.full)];
  const between = one.getAttribute("d").split(/-?\d+(?:\.\d+)?/);
  return (_, share) => {
    let d = between[0];
    for (let i = 0; i < shut.length; i++)
      d += Math.round((shut[i] + share * (full[i] - shut[i])) * 100) / 100 + between[i + 1];
    one.setAttribute("d", d);
  };
}

function rise(one) {
  const by = Number(one.dataset.rise);
  return (lift) => one.setAttribute("transform", `translate(0 ${(-lift * by).toFixed(2)})`);
}

function tabled(one) {
  const rows = one.dataset.table.trim().split(/\s+/).map((pair) => pair.split(":").map(Number));
  const set = SETS[one.dataset.sets];
  return (lift) => set(one, valueAt(rows, lift));
}

function valueAt(rows, lift) {
  let i = 1;
  while (i < rows.length - 1 && rows[i][0] < lift) i++;
  const [[from, low], [to, high]] = [rows[i - 1] ?? rows[0], rows[i] ?? rows[0]];
  const share = to > from ? Math.min(1, Math.max(0, (lift - from) / (to - from))) : 0;
  return low + share * (high - low);
}

const SETS = {
  opacity: (one, value) => one.setAttribute("opacity", value.toFixed(3)),
  r: (one, value) => one.setAttribute("r", value.toFixed(3)),
  scale: (one, value) => {
    const before = (one.getAttribute("transform") ?? "").replace(/\s*scale\([^)]*\)\s*$/, "");
    one.setAttribute("transform", `${before} scale(${value.toFixed(4)})`.trim());
  },
  text: (one, value) => (one.textContent = value.toFixed(Number(one.dataset.decimals ?? 0)) + (one.dataset.unit ?? "")),
};

// How long a frame's script took, for whoever measures: the last few hundred, in ms.
const frames = [];
function took(ms) {
  frames.push(ms);
  if (frames.length > 600) frames.shift();
}
globalThis.floatbowlFrames = frames;
