// While topics are listened for: now and then what came, in place of what stood there, unless the reader is in the middle of it.
(() => {
  "use strict";
  const page = document.getElementById("live");
  const every = 2000;

  async function renew() {
    try {
      const answer = await fetch(location.href);
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("live");
      if (answer.ok && fresh && !page.contains(document.activeElement)) page.replaceChildren(...fresh.childNodes);
    } catch {
      // The server may be on its way up again.
    }
    if (document.getElementById("listening")) setTimeout(renew, every);
  }
  setTimeout(renew, every);
})();
