// What is held against every page, measured in the browser. Each gives the list of what is wrong.
(() => {
  const LEAST = 48, APART = 8, SPARE = 0.75;

  const isSeen = (one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: false }) &&
    !one.closest(".unseen, .skip, [hidden], [aria-hidden=true]");
  const nameOf = (one) => `${one.localName} "${(one.getAttribute("aria-label") || one.labels?.[0]?.textContent ||
    one.textContent || one.name || "").trim().replace(/\s+/g, " ").slice(0, 40)}"`;

  // What a finger may hit: a box with its label counts as one, and links within running text are let be.
  function targets() {
    const found = new Set();
    const all = "a[href], button, input:not([type=hidden]), select, textarea, summary, [role=slider]";
    for (const one of document.querySelectorAll(all)) {
      if (!isSeen(one) || one.disabled || one.tabIndex < 0) continue;
      if (one.localName === "a" && isInText(one)) continue;
      const label = one.matches("[type=radio], [type=checkbox]") ? one.closest("label") : null;
      found.add(label ?? one);
    }
    return [...found];
  }

  function isInText(link) {
    if (getComputedStyle(link).display !== "inline") return false;
    const around = link.parentElement.textContent.replace(link.textContent, "").trim();
    return around.length > 0;
  }

  const middle = (box) => {
    const wide = Math.min(box.width, LEAST), tall = Math.min(box.height, LEAST);
    const x = (box.left + box.right) / 2, y = (box.top + box.bottom) / 2;
    return { left: x - wide / 2, right: x + wide / 2, top: y - tall / 2, bottom: y + tall / 2 };
  };

  // Between two targets there are 8 px, or they are so large that as much lies between their middles of 48 px.
  function isNear(a, b) {
    const across = Math.max(a.left - b.right, b.left - a.right), down = Math.max(a.top - b.bottom, b.top - a.bottom);
    const [c, d] = [middle(a), middle(b)];
    const far = Math.max(c.left - d.right, d.left - c.right, c.top - d.bottom, d.top - c.bottom);
    return Math.max(across, down) < APART - SPARE && far < APART - SPARE;
  }

  function badTargets() {
    const boxes = targets().map((one) => ({ one, box: one.getBoundingClientRect() }));
    const small = boxes.filter(({ box }) => Math.min(box.width, box.height) < LEAST - SPARE)
      .map(({ one, box }) => `${nameOf(one)} is ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`);
    const near = [];
    for (const [i, a] of boxes.entries()) {
      for (const b of boxes.slice(i + 1)) {
        if (a.one.contains(b.one) || b.one.contains(a.one) || isFloating(a.one) !== isFloating(b.one)) continue;
        if (isNear(a.box, b.box)) near.push(`${nameOf(a.one)} is too near to ${nameOf(b.one)}`);
      }
    }
    return [...small, ...near];
  }

  // What stays in sight while the page scrolls lies over other things only for a moment.
  function isFloating(one) {
    for (let at = one; at; at = at.parentElement)
      if (["sticky", "fixed"].includes(getComputedStyle(at).position)) return true;
    return false;
  }

  function badHeadings() {
    const heads = [...document.querySelectorAll("h1, h2, h3, h4")].filter((one) => one.checkVisibility());
    const levels = heads.map((one) => Number(one.localName[1]));
    const wrong = levels[0] === 1 && levels.filter((one) => one === 1).length === 1 ? [] : [`begins with ${levels}`];
    levels.slice(1).forEach((level, i) => {
      if (level > levels[i] + 1) wrong.push(`h${level} "${heads[i + 1].textContent}" follows h${levels[i]}`);
    });
    return wrong;
  }

  // Nothing is wider than the glass, and no word is cut off.
  function badFit() {
    const root = document.scrollingElement, wide = document.documentElement.clientWidth;
    const wrong = root.scrollWidth > wide ? [`scrolls sideways: ${root.scrollWidth} on ${wide} px`] : [];
    const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (words.nextNode()) {
      const text = words.currentNode, holder = text.parentElement;
      if (!text.data.trim() || !isSeen(holder) || holder.closest("svg, script, style, option, datalist")) continue;
      const range = document.createRange();
      range.selectNodeContents(text);
      const box = range.getBoundingClientRect();
      if (box.width && (box.right > wide + 1 || box.left < -1)) wrong.push(`leaves the page: ${text.data.trim()}`);
      const cut = cutOffBy(holder, box);
      if (cut) wrong.push(`cut off by ${cut}: ${text.data.trim()}`);
    }
    for (const field of document.querySelectorAll("select, button"))
      if (isSeen(field) && field.scrollWidth > field.clientWidth + 1) wrong.push(`does not fit: ${nameOf(field)}`);
    return wrong;
  }

  function cutOffBy(holder, box) {
    for (let at = holder; at && at !== document.body; at = at.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(at), edge = at.getBoundingClientRect();
      if (["hidden", "clip"].includes(overflowX) && (box.right > edge.right + 1 || box.left < edge.left - 1)) return at.className;
      if (["hidden", "clip"].includes(overflowY) && (box.bottom > edge.bottom + 1 || box.top < edge.top - 1)) return at.className;
    }
    return "";
  }

  // Whatever takes the focus shows it with a line of 3 px.
  function badFocus() {
    const before = document.activeElement, wrong = [];
    const all = "a[href], button, input:not([type=hidden]), select, textarea, summary, [role=slider]";
    for (const one of document.querySelectorAll(all)) {
      if (!one.checkVisibility() || one.disabled || one.tabIndex < 0) continue;
      one.focus({ preventScroll: true });
      const shown = [one, one.closest("label")].filter(Boolean).map((each) => getComputedStyle(each));
      const seen = shown.some((style) => style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 3);
      if (document.activeElement !== one || !seen) wrong.push(nameOf(one));
    }
    before?.focus?.({ preventScroll: true });
    return wrong;
  }

  globalThis.checks = { badTargets, badHeadings, badFit, badFocus };
})();
