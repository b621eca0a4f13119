"use strict";
(() => {
  const $ = (s, r = document) => r.querySelector(s), $$ = (s, r = document) => [...r.querySelectorAll(s)];
  const part = $("#solution"), said = $("#said"), api = part.dataset.api || "/api/solution";
  const say = (text, wrong) => { said.textContent = text; said.classList.toggle("wrong", !!wrong); };
  let turn = 0;
  async function ask(address, body) {
    const mine = ++turn;
    try {
      const r = await fetch(address, body ? { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) } : { method: "POST" });
      const text = await r.text();
      if (mine !== turn) return null;
      if (!r.ok) { let t = text; try { t = JSON.parse(text).trouble; } catch { /* as it is */ } say(t, true); return null; }
      say("");
      return text;
    } catch { say("The program does not answer: is it still running?", true); return null; }
  }
  // Only sections that have changed are put in anew: a form that somebody types in stays as it is.
  const key = (e) => e.className.split(" ")[0];
  const shown = new Map([...part.children].map((c) => [key(c), c.outerHTML]));
  function draw(html) {
    const had = document.activeElement, path = had && had.dataset ? had.dataset.path : null;
    const box = document.createElement("template");
    box.innerHTML = html;
    for (const fresh of [...box.content.children]) {
      const name = key(fresh), text = fresh.outerHTML, old = $("." + name, part);
      if (!old || shown.get(name) === text) continue;
      const open = $$("details", old).map((d) => d.open);
      $$("details", fresh).forEach((d, k) => { d.open = open[k] || false; });
      shown.set(name, text);
      old.replaceWith(fresh);
    }
    if (path) { const f = $(`[data-path="${path}"]`, part); if (f && f !== document.activeElement) f.focus(); }
  }
  // The weeks of the reservoir follow once the hand rests.
  let rest = 0;
  async function edit(path, value) {
    clearTimeout(rest);
    const html = await ask(api + "/edit", { path, value });
    if (html === null) return;
    draw(html);
    rest = setTimeout(async () => { const all = await ask(api + "/state"); if (all !== null) draw(all); }, 250);
  }
  part.addEventListener("change", async (e) => {
    const shelf = e.target.closest("[data-shelf]");
    if (shelf) {
      // An acid stands in a field of its own.
      const acid = $('[data-path="solution.acid"]', part).value;
      const names = $$("input:checked", shelf).map((b) => b.value).concat(acid ? [acid] : []);
      return edit("solution.shelf", JSON.stringify(names));
    }
    const path = e.target.dataset.path;
    if (!path) return;
    edit(path, e.target.value);
  });
  part.addEventListener("click", async (e) => {
    if (e.target.closest("[data-print]")) return window.print();
    const add = e.target.closest("[data-add]");
    if (add) return edit(add.dataset.add, add.dataset.value);
    if (e.target.closest("[data-save]")) {
      const html = await ask(api + "/save");
      if (html !== null) { draw(html); say("Saved."); }
    }
  });
  const report = () => {
    const ions = {};
    for (const f of $$("[data-ion]", part)) if (f.value.trim()) ions[f.dataset.ion] = f.value.trim() + " " + $(`[data-unit="${f.dataset.ion}"]`, part).value;
    return { name: $("[name=name]", part).value.trim(), ph: $("[name=ph]", part).value.trim(), ions };
  };
  let later = 0;
  part.addEventListener("input", (e) => {
    if (!e.target.closest("#report")) return;
    clearTimeout(later);
    later = setTimeout(async () => {
      const html = await ask("/api/solution/report", report());
      if (html !== null) $("#balance", part).innerHTML = html;
    }, 120);
  });
  part.addEventListener("submit", async (e) => {
    e.preventDefault();
    const html = await ask("/api/solution/water", report());
    if (html !== null) { draw(html); say("The water is kept in parts.toml."); }
  });
})();
