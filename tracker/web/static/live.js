// While something is being worked out: asks now and then how far it is, and puts what the page says by then in place of
// what it said, unless the reader has begun to fill it in. What stands above it, such as Undo, stays.
(() => {
  "use strict";
  const page = document.getElementById("live");
  const told = document.getElementById("progress");
  const longest = 5000;
  let touched = false;
  for (const act of ["input", "change", "click"]) page.addEventListener(act, () => { touched = true; }, true);

  async function renew() {
    if (touched) return;
    const answer = await fetch(location.href);
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("live");
    if (!answer.ok || !fresh || touched) return;
    page.replaceChildren(...fresh.childNodes);
    // A script that was parsed is not run; one that is made is.
    for (const parsed of page.querySelectorAll("script[src]")) {
      const made = document.createElement("script");
      for (const { name, value } of parsed.attributes) made.setAttribute(name, value);
      parsed.replaceWith(made);
    }
  }

  async function look(wait) {
    try {
      const found = await (await fetch(page.dataset.asks)).json();
      if (told) told.textContent = found.said;
      if (!found.waiting) return await renew();
    } catch {
      // The server may be on its way up again.
    }
    setTimeout(look, wait, Math.min(1.5 * wait, longest));
  }
  setTimeout(look, 300, 500);
})();
