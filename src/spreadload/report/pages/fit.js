"use strict";
// Sets the paper as large as one page allows; what cannot fit goes to a page that says so.
(() => {
  const LARGEST_PT = 11, READABLE_PT = 8.5, LEAST_PT = 7.5, STEP_PT = 0.1;
  // Boxes that each paper holds within its margins.
  const TALL = { letter: "257mm", a4: "275mm" };
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

  function moveOff() {
    const note = document.getElementById("paper-continued");
    const blocks = [...paper.querySelectorAll("[data-may-move]")]
      .sort((a, b) => Number(a.dataset.mayMove) - Number(b.dataset.mayMove));
    const moved = [];
    let size = null;
    for (const block of blocks) {
      moved.push(block.dataset.title);
      body.append(block);
      note.textContent = `Continued on the overflow page: ${moved.join(", ")}.`;
      note.hidden = false;
      size = largest(READABLE_PT);
      if (size !== null) break;
    }
    return size;
  }

  function fit() {
    paper.toggleAttribute("data-measuring", true);
    const sizes = {};
    const own = paper.dataset.size;
    for (const kind of [own, own === "a4" ? "letter" : "a4"]) {
      paper.style.height = TALL[kind];
      sizes[kind] = largest(READABLE_PT);
      if (sizes[kind] === null && kind === own) sizes[kind] = moveOff();
      if (sizes[kind] === null) sizes[kind] = largest(LEAST_PT, READABLE_PT);
    }
    more.hidden = !body.children.length;
    // A board too long for any page flows on; better that than a line nobody sees.
    root.toggleAttribute("data-spills", sizes.letter === null || sizes.a4 === null);
    paper.removeAttribute("style");
    paper.toggleAttribute("data-measuring", false);
    const points = (kind) => (sizes[kind] ?? READABLE_PT).toFixed(1);
    root.style.setProperty("--paper-pt-a4", `${points("a4")}pt`);
    root.style.setProperty("--paper-pt", `${points("letter")}pt`);
    paper.dataset.pt = points(own);
  }
  fit();
})();
