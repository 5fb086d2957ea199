// What the messages heard read as, told anew with each change of the set-up.
(() => {
  "use strict";
  const form = document.getElementById("set-up");
  const told = document.getElementById("tried");
  const patience = 250;
  let waiting = 0;
  let asked = 0;

  async function renew() {
    const mine = ++asked;
    const answer = await fetch(form.dataset.preview, { method: "POST", body: new FormData(form) });
    const text = await answer.text();
    if (!answer.ok || mine !== asked) return;
    const fresh = new DOMParser().parseFromString(text, "text/html").body;
    told.replaceChildren(...fresh.childNodes);
  }
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(renew, patience);
  });

  // Only what the chosen kind of report needs is shown.
  const needs = () => {
    for (const part of form.querySelectorAll("[data-for]")) {
      const wanted = part.dataset.for.split(" ");
      part.hidden = !(wanted.includes(form.reports.value) || wanted.includes(form.written.value));
    }
  };
  form.addEventListener("change", needs);
  needs();
})();
