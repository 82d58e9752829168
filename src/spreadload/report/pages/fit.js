"use strict";
// Sets the paper as large as one page allows; what cannot fit goes to a page that says so.
(() => {
  const LARGEST_PT = 11, COMFORTABLE_PT = 9, READABLE_PT = 8.5, LEAST_PT = 7.5, STEP_PT = 0.1;
  // Boxes that each paper holds within its margins; "any" is what both hold, for a browser that
  // does not tell a page what it is printed on.
  const BOXES = {
    a4: { width: "194mm", height: "280mm" },
    letter: { width: "199mm", height: "262mm" },
    any: { width: "190mm", height: "262mm" },
  };
  const paper = document.getElementById("paper");
  const more = document.getElementById("paper-more");
  const body = more.querySelector(".paper-body");
  const root = document.documentElement;
  const fits = () => paper.scrollHeight <= paper.clientHeight + 1;
  // Set on the paper alone: a property of the root would lay out the whole document again.
  const set = (size) => { paper.style.fontSize = `${size}pt`; };

  // The largest size at which everything is on the page, or null; fits only get easier below.
  function largest(least, most = LARGEST_PT) {
    let low = Math.round(least / STEP_PT), high = Math.round(most / STEP_PT), best = null;
    while (low <= high) {
      const middle = (low + high) >> 1;
      set(middle * STEP_PT);
      if (fits()) { best = middle; low = middle + 1; } else high = middle - 1;
    }
    return best === null ? null : best * STEP_PT;
  }

  // The size on each kind of paper; null where even the least letter is too large.
  function measured() {
    const sizes = {};
    for (const [kind, box] of Object.entries(BOXES)) {
      Object.assign(paper.style, box);
      sizes[kind] = largest(LEAST_PT);
    }
    return sizes;
  }

  // A second sheet that is needed anyway takes as much as makes the first one easy to read.
  function moveOff() {
    const note = document.getElementById("paper-continued");
    const blocks = [...paper.querySelectorAll("[data-may-move]")]
      .sort((a, b) => Number(a.dataset.mayMove) - Number(b.dataset.mayMove));
    const moved = [];
    for (const block of blocks) {
      moved.push(block.dataset.title);
      body.append(block);
      note.textContent = `Continued on the overflow page: ${moved.join(", ")}.`;
      note.hidden = false;
      if (Object.values(measured()).every((size) => size >= COMFORTABLE_PT)) return;
    }
  }

  function fit() {
    paper.toggleAttribute("data-measuring", true);
    // The customary paper says whether one page is enough.
    if (!(measured()[paper.dataset.size] >= COMFORTABLE_PT)) moveOff();
    const sizes = measured();
    for (const [kind, size] of Object.entries(sizes))
      root.style.setProperty(`--paper-pt-${kind}`, `${(size ?? READABLE_PT).toFixed(1)}pt`);
    more.hidden = !body.children.length;
    // A board too long for any page flows on; better that than a line nobody sees.
    root.toggleAttribute("data-spills", Object.values(sizes).includes(null));
    paper.removeAttribute("style");
    paper.toggleAttribute("data-measuring", false);
  }
  fit();
})();
