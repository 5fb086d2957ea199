// Draws the figures that stand as JSON beside their places, each when it comes near. What a picture shows is said on the
// page in words and tables; this adds nothing but the picture.
(() => {
  "use strict";
  const { plotly: source, unneeded } = document.currentScript.dataset;
  const quiet = { displayModeBar: false, doubleClick: false, scrollZoom: false, showTips: false, responsive: true };
  const drawn = new Set();
  let library;

  function plotly() {
    if (window.Plotly) return Promise.resolve(window.Plotly);
    library ??= new Promise((resolve, reject) => {
      for (const id of unneeded.split(" ")) document.head.append(Object.assign(document.createElement("template"), { id }));
      const script = document.createElement("script");
      script.src = source;
      script.onload = () => resolve(window.Plotly);
      script.onerror = reject;
      document.head.append(script);
    });
    return library;
  }

  // A figure names its colours as the stylesheet does, which knows day, night and paper.
  function painted(part, style) {
    if (typeof part === "string") {
      const name = part.startsWith("var(") ? part.slice(4, -1) : "";
      return name ? style.getPropertyValue(name).trim() : part;
    }
    if (Array.isArray(part)) return part.map((each) => painted(each, style));
    if (part === null || typeof part !== "object") return part;
    return Object.fromEntries(Object.entries(part).map(([key, each]) => [key, painted(each, style)]));
  }

  async function draw(place) {
    const { react } = await plotly();
    const figure = JSON.parse(place.nextElementSibling.textContent);
    const style = getComputedStyle(document.documentElement);
    const still = { ...quiet, staticPlot: place.hasAttribute("data-still") };
    await react(place, painted(figure.data, style), painted(figure.layout, style), still);
    place.dataset.drawn = "yes";
    drawn.add(place);
  }

  const near = new IntersectionObserver(
    (entries) => {
      for (const { target, isIntersecting } of entries) {
        if (!isIntersecting) continue;
        near.unobserve(target);
        draw(target).catch(() => { target.hidden = true; });
      }
    },
    { rootMargin: "600px" },
  );
  document.querySelectorAll(".picture").forEach((place) => near.observe(place));
  addEventListener("beforeprint", () => {
    for (const place of document.querySelectorAll(".picture:not([data-drawn])")) if (window.Plotly) draw(place);
  });
  for (const asked of ["(prefers-color-scheme: dark)", "print"]) {
    matchMedia(asked).addEventListener("change", () => [...drawn].filter((place) => place.isConnected).forEach(draw));
  }
})();
