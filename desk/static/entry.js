// The entry of an order. The server makes the page; this holds what was typed,
// sends it with each act, puts the parts that changed in place, and keeps a copy
// here and on the server, so that nothing is lost when the connection drops.
(() => {
  "use strict";
  const $ = id => document.getElementById(id);
  const form = $("entry"), list = $("entry-rows"), keys = window.desk.keys;
  let token = form.dataset.form;
  let said = JSON.parse(form.dataset.said);
  let undone = [];           // what was said before each change
  let busy = false, waiting = [];
  let walked = false;        // the arrows chose
  let last = {};             // each part as it was last put in place
  const here = "desk.entry." + location.pathname;

  const open = () => $("f-" + said.row);
  const field = row => $("f-" + row);
  const options = () => [...list.querySelectorAll(".choices li")];
  const active = () => list.querySelector(".choices li.active");

  window.desk.busy = () => busy;
  window.desk.kept = () => !!said.number && !keeping && !timer && !again;

  // --- putting parts in place
  function put(reply) {
    const mine = document.activeElement, kept = said;
    if (reply.said) said = { ...reply.said, number: kept.number || reply.said.number, version: Math.max(kept.version, reply.said.version) };
    if (reply.title) document.title = reply.title;
    for (const [id, html] of Object.entries(reply.parts || {})) {
      if (last[id] === html) continue;
      last[id] = html;
      const e = $(id);
      if (id.startsWith("row-")) {
        const t = document.createElement("template");
        t.innerHTML = html;
        if (e) e.replaceWith(t.content); else list.append(t.content);
      } else if (e) e.innerHTML = html;
    }
    if (reply.rows) {
      const wanted = new Set(reply.rows);
      for (const e of [...list.children]) if (!wanted.has(e.id)) { delete last[e.id]; e.remove(); }
      reply.rows.forEach((id, i) => { if (list.children[i] !== $(id)) list.insertBefore($(id), list.children[i] || null); });
    }
    told();
  }

  // settle the open row: the field has the keys, the list shows what is chosen.
  function opened(focus) {
    const f = open();
    if (!f) return;
    walked = false;
    if (focus) { f.focus({ preventScroll: false }); f.select(); }
    options().forEach(o => { o.hidden = false; });
    activate(options().find(o => o.getAttribute("aria-selected") === "true") || null);
    more();
    f.closest("li").scrollIntoView({ block: "nearest" });
  }

  function activate(o) {
    const f = open(), was = active();
    if (was) was.classList.remove("active");
    if (!o) { f.removeAttribute("aria-activedescendant"); return; }
    o.classList.add("active");
    f.setAttribute("aria-activedescendant", o.id);
    const box = o.parentElement;
    if (o.offsetTop < box.scrollTop) box.scrollTop = o.offsetTop;
    else if (o.offsetTop + o.offsetHeight > box.scrollTop + box.clientHeight) box.scrollTop = o.offsetTop + o.offsetHeight - box.clientHeight;
    if (o.getAttribute("aria-disabled")) askNear(o);
  }

  // more tells at the list's foot how many choices lie below what is seen.
  function more() {
    const box = list.querySelector(".choices"), foot = list.querySelector(".more");
    if (!box || !foot) return;
    const n = options().filter(o => !o.hidden && o.offsetTop + o.offsetHeight / 2 > box.scrollTop + box.clientHeight).length;
    foot.textContent = n ? n + " more, type to narrow" : "";
  }
  list.addEventListener("scroll", more, true);

  // rank tells how well a choice goes with what was typed: 0 not at all.
  function rank(o, typed) {
    const name = o.querySelector(".nm").textContent.toLowerCase(), code = o.dataset.value.toLowerCase();
    const words = name.split(/[^\p{L}\p{N}']+/u).filter(Boolean);
    if (name === typed || code === typed) return 6;
    if (name.startsWith(typed)) return 5;
    if (words.map(w => w[0]).join("").startsWith(typed)) return 4;
    if (words.some(w => w.startsWith(typed)) || code.startsWith(typed) || inOrder(words, typed.split(/\s+/))) return 3;
    if (name.includes(typed)) return 2;
    return 0;
  }

  // inOrder tells whether the words begin, one after another, with what was typed.
  function inOrder(words, typed) {
    let at = 0;
    return typed.every(t => { while (at < words.length && !words[at].startsWith(t)) at++; return at++ < words.length; });
  }

  // narrow shows the choices that go with what was typed, the best one active;
  // of two alike the one that is not blocked.
  function narrow() {
    const f = open(), typed = f.value.trim().toLowerCase();
    let best = null, most = 0, shown = 0;
    for (const o of options()) {
      const r = typed === "" || f.value === f.dataset.was ? 1 : rank(o, typed);
      o.hidden = r === 0;
      if (r) shown++;
      const fits = r * 2 + (o.getAttribute("aria-disabled") ? 0 : 1);
      if (r && fits > most) { most = fits; best = o; }
    }
    if (options().length) activate(f.value === f.dataset.was ? options().find(o => o.getAttribute("aria-selected") === "true") || null : best);
    walked = false;
    more();
  }

  // near asks for the nearest that can be built with a blocked choice.
  let nearing = null;
  function askNear(o) {
    const box = $("near-" + said.row);
    if (!box || nearing === o) return nearing && nearing.done;
    nearing = o;
    box.replaceChildren();
    o.done = post("/orders/entry/near", { row: said.row, value: o.dataset.value, name: o.querySelector(".nm").textContent })
      .then(r => r.text()).then(html => { if (nearing === o && box.isConnected) box.innerHTML = html; }).catch(() => {});
    return o.done;
  }

  // --- asking the server
  async function post(path, fields, anew) {
    const body = new URLSearchParams({ form: token, said: JSON.stringify(said), ...fields });
    const stop = new AbortController(), late = setTimeout(() => stop.abort(), 8000);
    try {
      const r = await fetch(path, { method: "POST", body, headers: { "HX-Request": "true" }, signal: stop.signal });
      if (r.status === 401) { told("You are no longer signed in. What you typed stays here: sign in in another window, then go on."); throw new Error("signed out"); }
      if (r.status === 403 && !anew) { // signed in anew meanwhile: the form is another session's
        const f = await fetch("/orders/entry/form", { headers: { "HX-Request": "true" } });
        if (f.ok) { token = await f.text(); return post(path, fields, true); }
      }
      if (!r.ok) { told(await r.text()); throw new Error("refused"); }
      return r;
    } finally { clearTimeout(late); }
  }

  function told(text) {
    const p = $("entry-told");
    if (text === undefined) return;
    p.innerHTML = "";
    delete last["entry-told"];
    if (!text) return;
    const w = document.createElement("p");
    w.className = "stop"; w.textContent = text;
    p.append(w);
  }

  // act does one thing and opens the row that comes next. What is typed until
  // the answer is here waits for it.
  async function act(a, path) {
    if (busy) return;
    if (again && !path) return aside(a); // what waits goes first
    busy = true;
    const began = performance.now(), before = structuredClone(said);
    try {
      const reply = await (await post(path || "/orders/entry", { act: JSON.stringify(a) })).json();
      if (a.text !== undefined || a.set || a.remove !== undefined) undone.push(before);
      lost(false);
      if (!path) told("");
      if (reply.go) { forget(); location.assign(reply.go); return; }
      put(reply);
      if (reply.theirs) clash(reply.theirs);
      opened(true);
      store();
      // How long a choice took until it was painted, for who measures it.
      requestAnimationFrame(() => setTimeout(() => performance.measure("choice", { start: began })));
    } catch (e) {
      offline(a, e);
    } finally {
      busy = false;
      drain();
    }
  }

  // offline keeps what was typed though the server cannot be asked.
  function offline(a, e) {
    if (e.message === "refused" || e.message === "signed out") return store();
    lost(true);
    aside(a);
  }

  // aside keeps what was typed until the connection is back, and goes on to the
  // next row.
  function aside(a) {
    pending = { ...(pending || {}), [a.row + " " + said.line]: a };
    const f = open();
    if (f && a.text !== undefined) f.dataset.typed = "yes";
    store();
    const rows = [...list.children], at = rows.findIndex(r => r.id === "row-" + said.row);
    const next = rows[at + (a.go === "before" ? -1 : 1)];
    if (next && a.go && a.go !== "stay") { said.row = next.id.slice(4); open().focus(); open().select(); }
  }
  let pending = null, again = null;
  function lost(is) {
    if (is === !!again) return;
    if (is) {
      told("The connection is lost. Go on typing: it stays here, and is sent again when the connection is back.");
      again = setInterval(back, 1500);
    } else { clearInterval(again); again = null; }
  }
  async function back() {
    if (busy) return;
    busy = true;
    const acts = Object.values(pending || {}), set = acts.filter(a => a.text !== undefined).map(a => [a.row, a.text]);
    const f = open(), typing = f && f.value !== f.dataset.was ? f.value : undefined;
    const reply = await post("/orders/entry", { act: JSON.stringify({ row: said.row, set, go: "stay" }) }).then(r => r.json()).catch(() => null);
    busy = false;
    if (reply) {
      pending = null; lost(false); told("");
      last = {};
      put(reply); opened(true);
      if (typing !== undefined && open()) { open().value = typing; narrow(); }
      store();
    }
    drain();
  }

  function drain() {
    while (waiting.length && !busy) feed(waiting.shift());
  }

  // --- keeping
  let keeping = null, timer = null, unkept = 0;
  function store() {
    try { localStorage.setItem(here, JSON.stringify({ said, pending, at: Date.now() })); } catch { /* full or forbidden: the server keeps it */ }
    clearTimeout(timer);
    unkept = unkept || Date.now(); // who types without a pause is kept every three seconds all the same
    timer = setTimeout(keep, Math.max(0, Math.min(700, unkept + 3000 - Date.now())));
  }
  function forget() { try { localStorage.removeItem(here); } catch { /* as above */ } clearTimeout(timer); }
  async function keep() {
    timer = null;
    if (busy || keeping || again || !said.asked.dealer) { if (!again && said.asked.dealer) timer = setTimeout(keep, 300); return; }
    const sent = JSON.stringify(said.asked);
    unkept = 0;
    keeping = post("/orders/entry/keep", {}).then(r => r.json());
    try {
      const reply = await keeping;
      if (reply.kept === "kept") {
        const fresh = !said.number;
        said.number = reply.said.number; said.version = reply.said.version;
        if (fresh && !leaving) history.replaceState(null, "", "/orders/" + encodeURIComponent(said.number) + "/edit");
        const k = $("kept");
        if (k) k.textContent = "kept as " + said.number;
        if (JSON.stringify(said.asked) !== sent) timer = setTimeout(keep, 700);
        else try { localStorage.removeItem(here); } catch { /* none */ } // the server has it
      }
      if (reply.theirs) { put({ parts: reply.parts }); clash(reply.theirs); }
    } catch (e) { if (e.message !== "refused" && e.message !== "signed out") lost(true); }
    keeping = null;
  }
  let leaving = false; // another address now would end the way to the next page
  addEventListener("beforeunload", () => { leaving = true; });
  addEventListener("pagehide", () => {
    if (said.asked.dealer && timer) fetch("/orders/entry/keep", { method: "POST", keepalive: true, body: new URLSearchParams({ form: token, said: JSON.stringify(said) }) }).catch(() => {});
  });

  // --- two people on one draft
  let common = structuredClone(said.asked), other = null;
  function clash(theirs) { other = theirs; }
  const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
  // both takes theirs where only they changed it since both said the same.
  function both(was, mine, theirs) {
    if (same(mine, was)) return theirs;
    if (same(theirs, was) || typeof mine !== "object" || typeof theirs !== "object" || !mine || !theirs) return mine;
    const out = Array.isArray(mine) ? [] : {};
    for (const k of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
      const v = both(was && was[k], mine[k], theirs[k]);
      if (v !== undefined) out[k] = v;
    }
    return out;
  }
  function settle(how) {
    undone.push(structuredClone(said));
    if (how === "theirs") said.asked = other.asked;
    if (how === "both") said.asked = both(common, said.asked, other.asked);
    said.version = other.version;
    common = structuredClone(other.asked); other = null;
    act({ row: said.row, go: "stay" });
  }

  // --- keys
  // commit takes what stands in the open row and goes on.
  function commit(go, to) {
    const f = open(), o = active(), a = { row: said.row, go };
    if (to) a.to = to;
    if (!f) return act(a);
    const typed = f.value !== f.dataset.was;
    if (options().length && (typed || walked)) {
      if (o && (!typed || !o.hidden)) {
        if (o.getAttribute("aria-disabled")) { askNear(o); return; } // the way out is F4
        a.text = o.dataset.value;
      } else if (typed) a.text = f.value;
    } else if (typed) a.text = inUnit(f);
    return act(a);
  }

  // inUnit writes the row's unit, which stands beside it, behind a bare number.
  function inUnit(f) {
    const text = f.value.trim(), unit = f.closest("li").dataset.unit;
    return unit && /^\d+(\.\d+)?$|^\d+[ -]\d+\/\d+$|^\d+\/\d+$/.test(text) ? text + " " + unit : f.value;
  }

  async function takeNear() {
    let b = document.querySelector("#near-" + CSS.escape(said.row) + " [data-near]");
    const o = active();
    if (o && o.getAttribute("aria-disabled")) {
      busy = true;
      await askNear(o);
      busy = false;
      b = document.querySelector("#near-" + CSS.escape(said.row) + " [data-near]");
    }
    if (!b) b = list.querySelector("[data-near]");
    if (b) act({ row: said.row, set: b.dataset.near.split("\t").map(s => s.split("\n")), go: "stay" });
    else drain();
  }

  function undo() {
    const f = open();
    if (f && f.value !== f.dataset.was) { f.value = f.dataset.was; narrow(); f.select(); return; }
    if (!undone.length) return false;
    const before = undone.pop(), now = said;
    said = { ...before, number: now.number, version: now.version };
    act({ row: said.row, go: "stay" });
  }

  const rowsIn = () => [...list.children].map(e => e.id.slice(4));
  function edge(by) { // Tab leaves the sheet at its ends
    const rows = rowsIn(), at = rows.indexOf(said.row);
    const f = open(), clean = !f || f.value === f.dataset.was;
    return clean && (by > 0 ? at === rows.length - 1 : at === 0);
  }

  function move(by) {
    const all = options().filter(o => !o.hidden);
    if (!all.length) return false;
    const at = all.indexOf(active());
    walked = true;
    activate(all[Math.max(0, Math.min(all.length - 1, at < 0 ? (by > 0 ? 0 : all.length - 1) : at + by))]);
  }

  const inSheet = () => list.contains(document.activeElement) || document.activeElement === document.body;
  Object.assign(keys, {
    Enter: e => { if (!inSheet() && e.type === "keydown") return false; commit("next"); },
    Tab: e => { if (e.type === "keydown" && (!inSheet() || edge(1))) return false; commit("after"); },
    ShiftTab: e => { if (!inSheet() || edge(-1)) return false; commit("before"); },
    ArrowDown: e => e.type === "click" ? move(1) : inSheet() && move(1),
    ArrowUp: () => inSheet() && move(-1),
    F4: () => { takeNear(); },
    PageUp: () => toLine(-1),
    PageDown: () => toLine(1),
    F8: () => { commit("settle"); },
    Escape: () => { if (undo() === false) history.back(); },
    "Ctrl Enter": () => { finish(); },
  });

  // settled takes what stands in the open row, and tells whether that was done.
  async function settled() {
    const f = open();
    if (f && f.value !== f.dataset.was) await commit("stay");
    return !open() || open().value === open().dataset.was;
  }

  function toLine(by) {
    const to = said.line + by;
    if (to < 0 || to >= (said.asked.lines || []).length) return false;
    settled().then(is => { if (is) act({ row: said.row, line: to }); });
  }

  async function finish() {
    if (!await settled()) return;
    if (keeping) await keeping.catch(() => {});
    clearTimeout(timer); timer = null;
    act({ row: said.row, go: "stay" }, "/orders/entry/place");
  }

  // feed gives a key that was pressed while the server was asked.
  function feed(e) {
    const name = e.shiftKey && e.key === "Tab" ? "ShiftTab" : window.desk.named(e);
    if (keys[name] && name !== "F2") { keys[name]({ type: "click" }); return; }
    const f = open();
    if (!f || e.ctrlKey || e.metaKey) return;
    const a = f.selectionStart, b = f.selectionEnd;
    if (e.key.length === 1) f.setRangeText(e.key, a, b, "end");
    else if (e.key === "Backspace") f.setRangeText("", a === b ? Math.max(0, a - 1) : a, b, "end");
    else return;
    narrow();
  }

  // A key that waits must not be typed as well: not every browser driver leaves
  // the keypress out when the keydown was stopped.
  let swallow = false;
  document.addEventListener("keypress", e => { if (swallow) { e.preventDefault(); e.stopImmediatePropagation(); } }, true);
  document.addEventListener("keydown", e => {
    swallow = false;
    if (e.altKey || e.isComposing) return;
    if (busy && list.contains(document.activeElement) || busy && document.activeElement === document.body) {
      if (e.key.length > 1 && !keys[e.key] && e.key !== "Tab" && e.key !== "Backspace" && e.key !== "Enter") return;
      e.preventDefault(); e.stopImmediatePropagation();
      swallow = true;
      waiting.push({ key: e.key, shiftKey: e.shiftKey, ctrlKey: e.ctrlKey, metaKey: e.metaKey });
      return;
    }
    if (e.key === "Tab" && e.shiftKey) {
      e.stopImmediatePropagation();
      if (keys.ShiftTab(e) !== false) e.preventDefault();
    }
  }, true);
  list.addEventListener("input", e => { if (e.target === open()) narrow(); });
  list.addEventListener("focusin", e => {
    const row = e.target.name;
    if (!row || row === said.row || busy) return;
    commit("", row);
  });
  list.addEventListener("mousedown", e => {
    const o = e.target.closest(".choices li");
    if (!o) return;
    e.preventDefault(); // the field keeps the keys
    walked = true; activate(o);
    if (!o.getAttribute("aria-disabled")) act({ row: said.row, text: o.dataset.value, go: "next" });
  });
  document.addEventListener("click", e => {
    const b = e.target.closest("[data-near],[data-go],[data-line],[data-remove],[data-clash]");
    if (!b) return;
    e.preventDefault();
    if (b.dataset.near !== undefined) {
      const row = b.closest(".row");
      act({ row: row ? row.id.slice(4) : said.row, set: b.dataset.near.split("\t").map(s => s.split("\n")), go: "stay" });
    } else if (b.dataset.go) {
      const at = b.dataset.go.indexOf(" "), line = +b.dataset.go.slice(0, at);
      act({ row: said.row, to: b.dataset.go.slice(at + 1), ...(line === said.line ? {} : { line }) });
    } else if (b.dataset.line) act({ row: said.row, line: +b.dataset.line });
    else if (b.dataset.remove) act({ row: said.row, remove: +b.dataset.remove });
    else if (b.dataset.clash) settle(b.dataset.clash);
  });
  form.addEventListener("submit", e => e.preventDefault());

  // What was typed here before a crash or a lost connection, and is not on the
  // server yet, comes back.
  let stored = null;
  try { stored = JSON.parse(localStorage.getItem(here)); } catch { /* none */ }
  if (stored && stored.said.key !== said.key && Date.now() - stored.at < 12 * 3600e3 && (said.number ? stored.said.number === said.number && stored.said.version === said.version && !same(stored.said.asked, said.asked) : !said.asked.dealer && !!stored.said.asked.dealer && !stored.said.number)) {
    said = stored.said; pending = stored.pending;
    told("What was typed here before is back.");
    back();
  } else opened(true);
})();
