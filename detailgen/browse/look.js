"use strict";
(() => {
  const body = document.body;
  const articles = [...document.querySelectorAll("article")];
  const links = [...document.querySelectorAll("nav a")];
  let current = 0;

  const all = (root, what) => [...root.querySelectorAll(what)];
  const words = (value) => (value || "").split(" ").filter(Boolean);
  const stageOf = (article) => Number(article.querySelector(".slider").value);

  function show(index) {
    current = Math.max(0, Math.min(articles.length - 1, index));
    articles.forEach((article, n) => { article.hidden = n !== current; });
    links.forEach((link, n) => {
      if (n === current) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    });
    if (articles.length) paint(articles[current]);
  }

  function paint(article) {
    const now = stageOf(article), last = Number(article.dataset.last), done = now === last;
    const lit = new Set(words(article.dataset.lit));
    for (const group of all(article, ".b")) {
      const at = Number(group.dataset.s), until = Number(group.dataset.u || 0);
      const gone = at > now || (until > 0 && until <= now);
      group.toggleAttribute("hidden", gone);
      group.style.display = gone ? "none" : until ? "inline" : "";
      group.classList.toggle("quiet", !done && at < now);
      group.classList.toggle("lit", lit.has(group.dataset.b));
    }
    for (const joint of all(article, ".j")) {
      const at = Number(joint.dataset.s);
      const held = words(joint.dataset.j).some((part) => lit.has(part));
      joint.classList.toggle("show", at <= now && (held || (!done && at === now)));
    }
    for (const coat of all(article, ".section .coat")) {
      const at = Number(coat.dataset.s);
      coat.style.display = at === now || (done && at <= now) ? "" : "none";
    }
    for (const mark of all(article, ".mark")) {
      mark.classList.toggle("lit", mark.dataset.f === article.dataset.finding);
      mark.style.display = done || Number(mark.dataset.s) <= now ? "" : "none";
    }
    for (const told of all(article, ".stage")) told.hidden = Number(told.dataset.s) !== now;
    const heading = article.querySelector(".stage:not([hidden]) h3").textContent;
    article.querySelector(".where").textContent = heading;
    article.querySelector(".slider").setAttribute("aria-valuetext", heading);
    article.querySelector(".back").disabled = now === 0;
    article.querySelector(".next").disabled = done;
  }

  function step(article, by) {
    const slider = article.querySelector(".slider");
    slider.value = String(Number(slider.value) + by);
    paint(article);
  }

  function tell(article, part) {
    const reader = article.querySelector(".reader");
    const button = article.querySelector(`.parts button[data-b="${part}"]`);
    if (!button) return;
    const name = document.createElement("strong");
    name.textContent = button.textContent;
    reader.replaceChildren(name, ...[...button.nextElementSibling.children].map((one) => one.cloneNode(true)));
  }

  // What was chosen stays chosen while the pointer passes over other parts.
  function choose(article, parts, finding) {
    article.dataset.chosen = parts.join(" ");
    article.dataset.finding = finding || "";
    for (const button of all(article, ".parts button")) {
      button.setAttribute("aria-pressed", String(!finding && parts.includes(button.dataset.b)));
    }
    for (const button of all(article, ".findings button")) {
      button.setAttribute("aria-pressed", String(Boolean(finding) && button.dataset.f === finding));
    }
    light(article, parts);
  }

  function light(article, parts) {
    article.dataset.lit = parts.join(" ");
    if (parts.length) tell(article, parts[0]);
    paint(article);
  }

  for (const article of articles) {
    const chosen = () => words(article.dataset.chosen);
    const swap = (part) => choose(article, !article.dataset.finding && chosen()[0] === part ? [] : [part], "");
    article.querySelector(".slider").addEventListener("input", () => paint(article));
    article.querySelector(".back").addEventListener("click", () => step(article, -1));
    article.querySelector(".next").addEventListener("click", () => step(article, 1));
    for (const group of all(article, ".b")) {
      group.addEventListener("pointerenter", () => light(article, [group.dataset.b]));
      group.addEventListener("pointerleave", () => light(article, chosen()));
      group.addEventListener("click", () => swap(group.dataset.b));
    }
    for (const button of all(article, ".parts button")) {
      button.addEventListener("click", () => swap(button.dataset.b));
    }
    for (const button of all(article, ".findings button")) {
      button.addEventListener("click", () => {
        const off = article.dataset.finding === button.dataset.f;
        choose(article, off ? [] : words(button.dataset.of), off ? "" : button.dataset.f);
      });
    }
    for (const mark of all(article, ".mark")) {
      mark.addEventListener("click", () => {
        const button = all(article, ".findings button").find((one) => one.dataset.f === mark.dataset.f);
        if (button) button.click();
      });
    }
  }

  document.addEventListener("keydown", (event) => {
    const at = event.target;
    if (event.altKey || event.ctrlKey || event.metaKey || !articles.length) return;
    if (at instanceof HTMLInputElement) return;
    const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!way) return;
    event.preventDefault();
    if (event.shiftKey) location.hash = articles[Math.max(0, Math.min(articles.length - 1, current + way))].id;
    else step(articles[current], way);
  });
  for (const input of all(document, "input[name=units]")) {
    input.addEventListener("change", () => { body.dataset.units = input.value; });
  }
  for (const input of all(document, "input[name=ink]")) {
    input.addEventListener("change", () => { body.dataset.ink = input.value; });
  }
  const print = (every) => { if (every) articles.forEach(paint); body.classList.toggle("all", every); window.print(); };
  document.getElementById("print-one").addEventListener("click", () => print(false));
  document.getElementById("print-all").addEventListener("click", () => print(true));
  const go = () => {
    const index = articles.findIndex((article) => `#${article.id}` === location.hash);
    show(Math.max(0, index));
    if (index >= 0) window.scrollTo(0, 0);
  };
  window.addEventListener("hashchange", go);
  go();
})();
