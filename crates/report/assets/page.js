"use strict";
(() => {
  const $ = (s, r = document) => r.querySelector(s);
  const $$ = (s, r = document) => [...r.querySelectorAll(s)];
  const data = $("#data");
  if (!data) return;
  let state = JSON.parse(data.textContent);
  let moment = { tray: null, t: state.series.now_s };
  const typed = new Map(); // text that is not yet, or not rightly, in the bench
  const still = matchMedia("(prefers-reduced-motion: reduce)");

  /* Numbers as words */
  const number = (si, unit) => (si * unit.per_si).toFixed(unit.decimals).replace(/^-0(\.0*)?$/, "0$1") + " " + unit.name;
  const length = (m) => {
    const u = state.geometry.length, x = m * u.per_si;
    return u.decimals === 0 && Math.abs(x) < 9.95 && x !== 0 ? Number(x.toPrecision(2)) + " " + u.name : number(m, u);
  };
  const flow = (q) => {
    const u = state.geometry.flow, x = q * u.per_si, step = Math.abs(x) < 20 ? 1 : 5;
    return (Math.round(x / step) * step || 0) + " " + u.name;
  };
  const two = (n) => String(n).padStart(2, "0");
  const clock = (t) => {
    const s = Math.round(t);
    return two(Math.floor(s / 3600)) + ":" + two(Math.floor(s / 60) % 60) + (s % 60 ? ":" + two(s % 60) : "");
  };
  const watch = (t) => Math.floor(Math.round(t) / 60) + ":" + two(Math.round(t) % 60);

  /* The courses */
  const find = (ts, t) => {
    let a = 0, b = ts.length - 1;
    while (b - a > 1) { const m = (a + b) >> 1; if (ts[m] <= t) a = m; else b = m; }
    const dt = ts[b] - ts[a];
    return [a, b, dt > 0 ? Math.min(1, Math.max(0, (t - ts[a]) / dt)) : 1];
  };
  const at = (course, t) => {
    if (!course || !course.t_s.length) return null;
    const [a, b, x] = find(course.t_s, t);
    const mix = (v) => v[a] + (v[b] - v[a]) * x;
    return { reservoir: mix(course.reservoir_m), trays: course.trays_m.map(mix), feed: course.feed_m3_s.map(mix), riser: course.riser_m3_s.map(mix) };
  };
  const course = () => (moment.tray === null ? state.series.day : state.series.floods[moment.tray]);

  /* The water */
  const depthOf = (now, id) => Math.max(0, id === "reservoir" ? now.reservoir : now.trays[+id.slice(5)] || 0);
  function pour(now) {
    if (!now) return;
    for (const e of $$("[data-water],[data-surface]")) {
      const d = depthOf(now, e.dataset.water || e.dataset.surface), h = d * e.dataset.k;
      e.setAttribute("y", (e.dataset.y0 - h).toFixed(2));
      e.setAttribute("height", e.dataset.water ? h.toFixed(2) : d > 0 ? 2 : 0);
    }
    for (const e of $$("[data-mark]"))
      e.setAttribute("transform", `translate(${e.dataset.x},${(e.dataset.y0 - depthOf(now, e.dataset.mark) * e.dataset.k).toFixed(2)})`);
    for (const e of $$("[data-level]")) e.textContent = length(depthOf(now, e.dataset.level));
    for (const e of $$("[data-plan]")) {
      const d = depthOf(now, e.dataset.plan), x = Math.min(1, d / e.dataset.depth);
      const [l, w] = [e.dataset.l, e.dataset.w].map((v) => { const [f, r] = v.split(" ").map(Number); return f + (r - f) * x; });
      if (e.tagName === "circle") e.setAttribute("r", l / 2);
      else { e.setAttribute("x", e.dataset.cx - l / 2); e.setAttribute("width", l); e.setAttribute("y", e.dataset.cy - w / 2); e.setAttribute("height", w); }
      e.style.opacity = d > 5e-4 ? 1 : 0;
    }
    for (const e of $$("[data-flow]")) {
      const [kind, i] = e.dataset.flow.split("-"), q = now[kind][+i] || 0;
      e.classList.toggle("on", q > 1e-8);
      e.classList.toggle("back", q < -1e-8);
    }
    for (const e of $$("[data-fall]")) {
      const y = e.dataset.y0 - depthOf(now, e.dataset.into) * e.dataset.k;
      e.setAttribute("y2", Math.max(y, +e.getAttribute("y1")).toFixed(2));
      e.classList.toggle("on", (now.riser[+e.dataset.fall] || 0) > 1e-8);
    }
  }

  /* The blocks */
  function soak(t) {
    const wet = (state.series.blocks || []).map((b) => {
      if (!b || !b.t_s.length) return null;
      const [i, j, x] = find(b.t_s, t);
      return b.wet.map((w) => (w[i] + (w[j] - w[i]) * x) / 100);
    });
    for (const e of $$("[data-moist]")) {
      const [i, k] = e.dataset.moist.split(" ");
      if (wet[i]) e.setAttribute("fill-opacity", (0.85 * wet[i][k] ** 2).toFixed(2));
    }
    for (const e of $$("[data-profile]")) {
      const w = wet[e.dataset.profile];
      if (!w) continue;
      const [l, r, top, bottom] = e.dataset.frame.split(" ").map(Number), h = (bottom - top) / w.length;
      e.setAttribute("d", w.map((s, k) => `${k ? "L" : "M"}${(l + s * (r - l)).toFixed(1)},${(bottom - (k + 0.5) * h).toFixed(1)}`).join(""));
    }
    for (const e of $$("[data-hour]")) {
      const [l, r] = e.dataset.hour.split(" ").map(Number), x = l + (t / 86400) * (r - l);
      e.setAttribute("x1", x); e.setAttribute("x2", x);
    }
  }

  /* Charts and strip */
  function cursor(svg, t) {
    const c = $(".cursor", svg), tray = +svg.dataset.tray, t1 = +svg.dataset.t1;
    const [left, right, top, bottom] = svg.dataset.frame.split(" ").map(Number);
    const [v0, v1] = svg.dataset.v.split(" ").map(Number);
    const inside = Math.min(t1, Math.max(0, t)), now = at(state.series.floods[tray], inside);
    if (!c || !now) return;
    const what = svg.dataset.channel, x = left + (inside / t1) * (right - left);
    const v = what === "tray" ? now.trays[tray] : what === "reservoir" ? now.reservoir : now.feed[tray];
    const y = bottom - ((Math.min(v1, Math.max(v0, v)) - v0) / (v1 - v0)) * (bottom - top);
    const said = what === "flow" ? `feed ${flow(now.feed[tray])}, riser ${flow(now.riser[tray])}` : length(v);
    const line = $(".now", c), dot = $(".nowd", c), text = $(".nowt", c);
    line.setAttribute("x1", x); line.setAttribute("x2", x);
    dot.setAttribute("cx", x); dot.setAttribute("cy", y);
    text.textContent = `${watch(inside)} · ${said}`;
    const flip = x > left + 0.62 * (right - left);
    text.setAttribute("x", x + (flip ? -9 : 9)); text.setAttribute("text-anchor", flip ? "end" : "start");
    text.setAttribute("y", y < (top + bottom) / 2 ? y + 38 : Math.max(top + 12, y - 16));
    c.dataset.t = inside;
    c.setAttribute("aria-valuenow", Math.round(inside));
    c.setAttribute("aria-valuetext", `${watch(inside)}, ${said}`);
  }
  const charts = (tray) => $$("[data-chart]").filter((s) => +s.dataset.tray === tray);
  const startOf = (tray, t) => {
    const first = (charts(tray)[0] || { dataset: { t1: 0 } }).dataset.t1;
    return (state.series.starts_s[tray] || []).find((s) => t >= s[0] && t <= s[0] + +first);
  };
  function show() {
    const now = at(course(), moment.t);
    pour(now);
    let day = moment.t;
    if (moment.tray === null) state.series.starts_s.forEach((_, i) => { const s = startOf(i, day); if (s) charts(i).forEach((c) => cursor(c, day - s[0])); });
    else {
      charts(moment.tray).forEach((c) => cursor(c, moment.t));
      const s = (state.series.starts_s[moment.tray] || [])[0];
      day = s ? Math.min(86400, s[0] + moment.t) : null;
    }
    if (day !== null) soak(day);
    const said = now ? now.trays.map((d, i) => (state.geometry.trays.length > 1 ? state.geometry.trays[i] + " " : "tray ") + length(d)).join(", ") + `, reservoir ${length(now.reservoir)}` : "";
    if (day !== null)
      for (const svg of $$("[data-strip]")) {
        const h = $(".handle", svg), [l, r] = svg.dataset.span.split(" ").map(Number);
        h.setAttribute("transform", `translate(${(l + (day / 86400) * (r - l)).toFixed(2)},0)`);
        h.setAttribute("aria-valuenow", Math.round(day));
        h.setAttribute("aria-valuetext", `${clock(day)}, ${said}`);
      }
    const out = $("#moment");
    if (out) out.textContent = `${day === null ? watch(moment.t) : clock(day)} · ${said.replaceAll(", ", " · ")}`;
  }
  let asked = false;
  function move(tray, t, most) {
    moment = { tray, t: Math.min(most, Math.max(0, t)) };
    if (!asked) { asked = true; requestAnimationFrame(() => { asked = false; show(); }); }
  }
  const moveDay = (t) => move(null, t, 86400);
  const nextEvent = (list, t, way) => {
    const ts = [...new Set(list.map((e) => Math.round(e.t_s)))].sort((a, b) => a - b);
    return way > 0 ? ts.find((x) => x > t + 0.6) : ts.filter((x) => x < t - 0.6).pop();
  };
  const dayNow = () => (moment.tray === null ? moment.t : ((state.series.starts_s[moment.tray] || [[0]])[0] || [0])[0] + moment.t);
  const place = (svg, e) => new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse()).x;
  function drag(e) {
    const svg = e.target.closest("[data-strip],[data-chart]");
    if (!svg || (e.type === "pointermove" && !svg.hasPointerCapture(e.pointerId))) return;
    const x = place(svg, e);
    if (svg.dataset.strip) {
      const [l, r] = svg.dataset.span.split(" ").map(Number);
      moveDay(Math.round(((x - l) / (r - l)) * 8640) * 10);
    } else {
      const [l, r] = svg.dataset.frame.split(" ").map(Number);
      move(+svg.dataset.tray, ((x - l) / (r - l)) * svg.dataset.t1, +svg.dataset.t1);
    }
  }
  document.addEventListener("pointerdown", (e) => {
    const svg = e.button === 0 && e.target.closest("[data-strip],[data-chart]");
    if (!svg) return;
    stop();
    svg.setPointerCapture(e.pointerId);
    const h = $("[role=slider]", svg);
    if (h) h.focus({ preventScroll: true });
    drag(e);
  });
  document.addEventListener("pointermove", (e) => {
    const svg = e.target.closest && e.target.closest("[data-chart]");
    if (svg && e.pointerType === "mouse" && e.buttons === 0) {
      const [l, r] = svg.dataset.frame.split(" ").map(Number), x = place(svg, e);
      if (x >= l && x <= r) move(+svg.dataset.tray, ((x - l) / (r - l)) * svg.dataset.t1, +svg.dataset.t1);
    } else drag(e);
  });
  function keys(e, t, small, most, list, go) {
    const big = small * 10, n = { ArrowRight: t + small, ArrowUp: t + small, ArrowLeft: t - small, ArrowDown: t - small, Home: 0, End: most };
    let to = n[e.key];
    if (e.shiftKey && to !== undefined && e.key.startsWith("Arrow")) to = t + Math.sign(to - t) * big;
    if (e.key === "PageDown") to = nextEvent(list, t, 1);
    if (e.key === "PageUp") to = nextEvent(list, t, -1);
    if (to === undefined) return;
    e.preventDefault();
    stop();
    go(to);
  }

  /* Play */
  let playing = 0;
  function stop() { cancelAnimationFrame(playing); playing = 0; const b = $("[data-do=play]"); if (b) b.textContent = "Play"; }
  function play() {
    if (playing) return stop();
    const t0 = dayNow(), starts = state.series.starts_s.flat().map((s) => s[0]).sort((a, b) => a - b);
    const inFlood = state.series.starts_s.some((_, i) => startOf(i, t0 + 1));
    let t = inFlood ? t0 : starts.find((s) => s > t0) ?? starts[0] ?? 0, last = performance.now();
    $("[data-do=play]").textContent = "Stop";
    const rate = still.matches ? 0 : 60, end = t + 2400;
    const step = (now) => {
      t += ((now - last) / 1000) * (rate || 60); last = now;
      moveDay(t);
      if (t < Math.min(86400, end)) playing = requestAnimationFrame(step); else stop();
    };
    playing = requestAnimationFrame(step);
  }

  /* Edits */
  const status = $("#status");
  function say(text, wrong) { status.textContent = text; status.classList.toggle("wrong", !!wrong); }
  let queue = Promise.resolve(), following = null, resting = 0, waiting = 0;
  // The texts of a JSON sequence (RFC 7464) as they come.
  async function* texts(response) {
    const reader = response.body.getReader(), words = new TextDecoder();
    for (let held = ""; ;) {
      const { value, done } = await reader.read();
      if (done) return;
      held += words.decode(value, { stream: true });
      for (let end; (end = held.indexOf("\n")) >= 0; held = held.slice(end + 1)) yield JSON.parse(held.slice(1, end));
    }
  }
  // What the eye is on is answered first; the rest follows, unless another change comes before it.
  async function follow(rest, mine) {
    try {
      for await (const s of rest) {
        await new Promise((go) => requestAnimationFrame(() => setTimeout(go))); // what has just been drawn is shown before
        if (following === mine) apply(s);
      }
    }
    catch { /* another change has come, or the program has gone: the next change says so */ }
    finally { if (following === mine) { following = null; if (!waiting) refine(); } }
  }
  function ask(url, body) {
    waiting += 1;
    clearTimeout(resting);
    if (following) { following.abort(); following = null; }
    queue = queue.then(async () => {
      const slow = setTimeout(() => say("working …"), 300), mine = new AbortController();
      try {
        const r = await fetch(`${url}?width=${slim.matches ? "narrow" : "wide"}`, { method: "POST", signal: mine.signal, headers: { "Content-Type": "application/json" }, body: JSON.stringify(body || {}) });
        if (!r.ok) throw new Error((await r.text()).slice(0, 300) || String(r.status));
        const parts = texts(r), { value: s } = await parts.next();
        if (!s) throw new Error("the answer broke off");
        if (!body) { typed.clear(); for (const i of $$("#values input")) i.value = i.defaultValue; }
        if (body && body.path && !s.faults.some((f) => f.place && f.place.path === body.path)) typed.delete(body.path);
        say("");
        apply(s);
        if (waiting === 1) { following = mine; follow(parts, mine); } else mine.abort();
      } catch (e) {
        say(e instanceof TypeError ? "The bench program does not answer: what you typed stays here. Start it again and press Enter." : `Not done: ${e.message}`, true);
      } finally { clearTimeout(slow); waiting -= 1; if (status.textContent === "working …") say(""); if (!waiting && !following) refine(); }
    });
    return queue;
  }
  // The full bands wait until the hand rests: they cost ten times the quick ones.
  const REST_MS = 350;
  function refine() {
    clearTimeout(resting);
    if (!state.meta.refined && !following) resting = setTimeout(refineNow, REST_MS);
  }
  async function refineNow() {
    const mine = (following = new AbortController());
    try {
      const r = await fetch("/api/refine", { signal: mine.signal });
      if (r.ok) await follow(texts(r), mine);
    } catch { /* the quick figures stay */ } finally { if (following === mine) following = null; }
  }
  const where = (el) => el && el !== document.body && (el.id ? { id: el.id } : el.dataset && el.dataset.path ? { path: el.dataset.path, tag: el.tagName, frag: (el.closest("[id]") || {}).id } : el.dataset && el.dataset.do ? { act: el.dataset.do } : el.closest && el.closest("[data-strip],[data-chart]") ? { slider: el.closest("[data-chart]") ? el.closest("svg").dataset.chart : "strip", narrow: el.closest("svg").classList.contains("narrow") } : null);
  function back(w) {
    if (!w) return;
    const size = w.narrow ? ".narrow" : ".wide";
    const el = w.id ? document.getElementById(w.id) : w.path ? $$(`${w.tag}[data-path]`).find((e) => e.dataset.path === w.path) : w.act ? $(`[data-do=${w.act}]`) : w.slider === "strip" ? $(`[data-strip]${size} .handle`) : $(`[data-chart="${w.slider}"]${size} .cursor`);
    if (el && !el.disabled) el.focus({ preventScroll: true });
  }
  const slim = matchMedia("(max-width: 880px)");
  // `unseen` names the width whose drawings the fragments leave out.
  function redraw(fragments, unseen) {
    for (const [id, html] of Object.entries(fragments)) {
      const el = document.getElementById(id);
      if (!el || el.shown === html) continue;
      el.shown = html;
      const sheet = document.createElement("template");
      sheet.innerHTML = html;
      become(el, sheet.content, unseen);
    }
  }
  // Only what differs is touched: what stays keeps its place, its focus and its fold.
  function become(old, fresh, unseen) {
    const seen = (a) => { while (unseen && a && a.nodeName === "svg" && a.classList.contains(unseen)) a = a.nextSibling; return a; };
    let a = seen(old.firstChild);
    for (let b = fresh.firstChild, next; b; b = next) {
      next = b.nextSibling;
      if (!a) { old.appendChild(b); continue; }
      const after = seen(a.nextSibling);
      if (a.isEqualNode(b)) { a = after; continue; }
      if (a.nodeName !== b.nodeName || a.id !== b.id) old.replaceChild(b, a);
      else if (a.nodeType !== 1) { if (a.data !== b.data) a.data = b.data; }
      else {
        for (const { name, value } of b.attributes) if (a.getAttribute(name) !== value && !(name === "open" && a.nodeName === "DETAILS")) a.setAttribute(name, value);
        if (a.attributes.length !== b.attributes.length) for (const { name } of [...a.attributes]) if (!b.hasAttribute(name) && name !== "open") a.removeAttribute(name);
        become(a, b, unseen);
        if ((a.nodeName === "INPUT" || a.nodeName === "SELECT") && a.value !== b.value) a.value = b.value;
      }
      a = after;
    }
    while (a) { const after = seen(a.nextSibling); a.remove(); a = after; }
  }
  function apply(s) {
    if (s.meta.revision < state.meta.revision) return;
    const active = document.activeElement, focus = where(active);
    const range = active && active.selectionStart !== undefined && active.type === "text" ? [active.selectionStart, active.selectionEnd] : null;
    for (const i of $$("#values input")) if (i.value !== i.defaultValue && !(i.dataset.sent === i.value && !typed.has(i.dataset.path))) typed.set(i.dataset.path, i.value);
    redraw(s.fragments, "values" in s.fragments ? "" : slim.matches ? "wide" : "narrow");
    state = { meta: s.meta, title: s.title, series: s.series, geometry: s.geometry, faults: s.faults };
    document.title = `${s.title} · Tidewright`;
    for (const [path, text] of typed) { const i = fieldOf(path); if (i && i.tagName === "INPUT") i.value = text; }
    if (held) hold(held.path, held.from, true);
    back(focus);
    if (range && document.activeElement.type === "text") try { document.activeElement.setSelectionRange(range[0], range[1]); } catch { /* a select */ }
    show();
  }
  const fieldOf = (path) => $$("#values [data-path]").find((e) => e.dataset.path === path);
  const toml = (el) => {
    if (el.dataset.kind !== "times" || /^\s*\[/.test(el.value)) return el.value;
    return "[" + el.value.split(/[,;\s]+/).filter(Boolean).map((t) => JSON.stringify(t)).join(", ") + "]";
  };
  function commit(el) {
    if (el.tagName === "INPUT" && (el.value === el.defaultValue || el.dataset.sent === el.value)) return;
    el.dataset.sent = el.value;
    typed.set(el.dataset.path, el.value);
    ask("/api/edit", { path: el.dataset.path, value: toml(el) });
  }
  function forget(el) {
    typed.delete(el.dataset.path);
    for (const i of [el, fieldOf(el.dataset.path)]) if (i && i.tagName === "INPUT") { i.value = i.defaultValue; delete i.dataset.sent; }
  }
  document.addEventListener("change", (e) => { if (e.target.matches("[data-path]")) commit(e.target); });
  document.addEventListener("keydown", (e) => {
    const el = e.target;
    if (el.matches && el.matches("input[data-path],select[data-path]")) {
      if (e.key === "Enter") { delete el.dataset.sent; commit(el); e.preventDefault(); }
      if (e.key === "Escape") {
        if (el.tagName === "INPUT" && el.value !== el.defaultValue) { forget(el); e.preventDefault(); }
        else if (held) drop(true);
      }
      return;
    }
    if (e.key === "Escape" && held) return drop(true);
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "z") { e.preventDefault(); return void ask(e.shiftKey ? "/api/redo" : "/api/undo"); }
    if ((e.ctrlKey || e.metaKey) && e.key.toLowerCase() === "s") { e.preventDefault(); return void ask("/api/save"); }
    if (el.classList && el.classList.contains("handle")) keys(e, dayNow(), 60, 86400, state.series.day.events, moveDay);
    if (el.classList && el.classList.contains("cursor")) {
      const svg = el.closest("svg"), tray = +svg.dataset.tray, t1 = +svg.dataset.t1;
      keys(e, +el.dataset.t, Math.max(1, Math.round(t1 / 300)), t1, state.series.floods[tray].events, (t) => move(tray, t, t1));
    }
  });

  /* The field in the hand */
  const hand = $("#hand");
  let held = null;
  function hold(path, from, again) {
    const wrap = (fieldOf(path) || { closest: () => null }).closest(".field");
    if (!wrap) { if (again) drop(); return; }
    const was = again && $("[data-path]", hand), text = was && was.tagName === "INPUT" && was.value !== was.defaultValue && document.activeElement === was && !was.dataset.sent ? was.value : null;
    const copy = wrap.cloneNode(true);
    for (const e of $$("[id]", copy)) e.id = "h-" + e.id;
    for (const e of $$("[for]", copy)) e.setAttribute("for", "h-" + e.getAttribute("for"));
    for (const e of $$(".birth .unseen", copy)) e.remove();
    const field = $("[data-path]", copy), original = fieldOf(path);
    field.setAttribute("aria-describedby", "hand-story");
    if (field.tagName === "SELECT") field.value = original.value;
    const focused = again && hand.contains(document.activeElement);
    hand.replaceChildren(copy);
    const story = document.createElement("p");
    story.className = "story"; story.id = "hand-story"; story.textContent = wrap.title + (wrap.dataset.hint && wrap.dataset.hint !== "text" ? ` · as in ${wrap.dataset.hint}` : "");
    const tools = document.createElement("div");
    tools.className = "hand-tools";
    tools.innerHTML = '<button type="button" data-do="all">All values here</button><button type="button" data-do="drop">Close</button>';
    hand.append(story, tools);
    if (text !== null) field.value = text; else if (original.tagName === "INPUT") field.value = original.value;
    held = { path, from };
    hand.hidden = false;
    const part = from && from.isConnected ? from : $$("#bench a[data-path]").find((e) => e.dataset.path === path && e.getBoundingClientRect().width);
    const small = slim.matches, r = part && part.getBoundingClientRect();
    if (!again || (r && from !== part)) {
      hand.classList.toggle("at-foot", small || !r);
      if (!small && r) {
        const w = hand.offsetWidth, h = hand.offsetHeight, below = r.bottom + h + 12 < innerHeight;
        hand.style.left = Math.max(12, Math.min(innerWidth - w - 12, r.left + Math.min(r.width, 160) / 2 + 16)) + scrollX + "px";
        hand.style.top = Math.max(8, below ? r.bottom + 8 : Math.min(r.top, innerHeight - h - 12)) + scrollY + "px";
      }
    }
    if (!again || focused) { field.focus({ preventScroll: true }); if (!again && field.select) field.select(); }
  }
  function drop(home) {
    const from = held && held.path;
    held = null; hand.hidden = true; hand.replaceChildren();
    if (home && from) back({ path: from, tag: "a" });
  }
  document.addEventListener("click", (e) => {
    const part = e.target.closest("a[data-path]");
    if (part) {
      if (!fieldOf(part.dataset.path)) return;
      e.preventDefault();
      return hold(part.dataset.path, part);
    }
    const button = e.target.closest("button");
    if (button && button.dataset.path) return void ask("/api/edit", { path: button.dataset.path, value: button.dataset.value });
    const act = button && button.dataset.do;
    if (act === "undo" || act === "redo" || act === "save") return void ask("/api/" + act);
    if (act === "play") return play();
    if (act === "earlier" || act === "later") {
      stop();
      const to = nextEvent(state.series.day.events, dayNow(), act === "later" ? 1 : -1);
      if (to !== undefined) moveDay(to);
      return;
    }
    if (act === "drop") return drop(true);
    if (act === "all" && held) {
      const f = fieldOf(held.path), fold = f && f.closest("details");
      drop();
      if (fold) fold.open = true;
      if (f) { f.scrollIntoView({ block: "center", behavior: still.matches ? "auto" : "smooth" }); f.focus({ preventScroll: true }); }
      return;
    }
    if (held && !hand.contains(e.target)) drop();
  });

  /* Paper shows every value and every check */
  let folded = [];
  addEventListener("beforeprint", () => { folded = $$("#values details:not([open]), .more-good:not([open])"); folded.forEach((d) => { d.open = true; }); });
  addEventListener("afterprint", () => { folded.forEach((d) => { d.open = false; }); folded = []; });

  show();
  refine();
})();
