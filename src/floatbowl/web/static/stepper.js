// The plus and minus beside a number or a stamp. Some are shown only here, since without script the field
// does it alone; others ask the garage where there is no script, and are held back from asking here.

/** Begin: wake the buttons that the page holds back. */
export function begin() {
  for (const button of document.querySelectorAll("button[data-step]")) {
    if (button.dataset.awake) continue;
    button.dataset.awake = "yes";
    button.hidden = false;
    button.addEventListener("click", (event) => {
      event.preventDefault();
      step(button);
    });
  }
}

function step(button) {
  const field = document.getElementById(button.dataset.for) ?? button.parentElement.querySelector("input");
  const by = Number(button.dataset.step);
  field.value = "stamps" in field.dataset ? nextStamp(field, by) : nextNumber(field, by);
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function nextNumber(field, by) {
  const now = Number(field.value || field.placeholder || 0) + by;
  if (Number.isNaN(now)) return field.value;
  const [low, high] = [field.min, field.max].map((end) => (end === "" ? null : Number(end)));
  const kept = Math.min(high ?? Infinity, Math.max(low ?? -Infinity, now));
  return String(Number(kept.toFixed(3)));
}

/** Give the next stamp of those at hand; what is stamped otherwise stands among them by its number. */
function nextStamp(field, by) {
  const number = (stamp) => (Number.isNaN(Number(stamp)) ? Infinity : Number(stamp));
  const others = field.dataset.stamps.split("|").filter((stamp) => stamp && stamp !== field.value);
  if (!field.value || field.value === "?") return others[0] ?? field.value;
  const all = [...others, field.value].sort((one, other) => number(one) - number(other));
  return all[Math.max(0, Math.min(all.length - 1, all.indexOf(field.value) + by))];
}
