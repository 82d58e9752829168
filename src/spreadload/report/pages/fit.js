"use strict";
// Sets the paper as large as one page allows; what cannot fit goes to a page that says so.
(() => {
  const LARGEST_PT = 10.5, LEAST_PT = 7, STEP_PT = 0.125;
  const paper = document.getElementById("paper");
  const more = document.getElementById("paper-more");
  const body = more.querySelector(".paper-body");
  const root = document.documentElement;
  const fits = () => paper.scrollHeight <= paper.clientHeight + 1;

  function fit() {
    root.toggleAttribute("data-measuring", true);
    let size = LARGEST_PT;
    const set = () => root.style.setProperty("--paper-pt", `${size}pt`);
    set();
    while (!fits() && size > LEAST_PT) { size -= STEP_PT; set(); }
    const moved = [];
    const blocks = [...paper.querySelectorAll("[data-may-move]")]
      .sort((a, b) => Number(a.dataset.mayMove) - Number(b.dataset.mayMove));
    const note = document.getElementById("paper-continued");
    while (!fits() && blocks.length) {
      const block = blocks.shift();
      moved.push(block.dataset.title);
      body.append(block);
      note.textContent = `Continued on the overflow page: ${moved.join(", ")}.`;
      note.hidden = false;
    }
    more.hidden = !moved.length;
    // A board too long for any page flows on; better that than a line nobody sees.
    root.toggleAttribute("data-spills", !fits());
    // With some blocks gone the rest may be larger again.
    while (moved.length && size < LARGEST_PT) {
      size += STEP_PT;
      set();
      if (!fits()) { size -= STEP_PT; set(); break; }
    }
    root.toggleAttribute("data-measuring", false);
  }
  fit();
})();
