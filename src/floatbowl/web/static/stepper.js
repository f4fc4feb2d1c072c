// The plus and minus beside a number: shown only here, since without script the field does it alone.

/** Begin: wake the buttons that the page holds back. */
export function begin() {
  for (const button of document.querySelectorAll("button[data-step]")) {
    if (button.dataset.awake) continue;
    button.dataset.awake = "yes";
    button.hidden = false;
    button.addEventListener("click", () => step(button));
  }
}

function step(button) {
  const field = document.getElementById(button.dataset.for) ?? button.parentElement.querySelector("input");
  const by = Number(button.dataset.step);
  const now = Number(field.value || field.placeholder || 0) + by;
  const [low, high] = [field.min, field.max].map((end) => (end === "" ? null : Number(end)));
  const kept = Math.min(high ?? Infinity, Math.max(low ?? -Infinity, now));
  field.value = String(Number(kept.toFixed(3)));
  field.dispatchEvent(new Event("input", { bubbles: true }));
}
