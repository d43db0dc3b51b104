// Keys of every page. A key is also a button with data-key; what a page adds
// stands in desk.keys before this runs its own.
(() => {
  "use strict";
  const keys = {
    F2: () => { const f = document.getElementById("find"); if (!f) return false; f.focus(); f.select(); },
    F7: () => { const a = document.querySelector("a[data-new]"); if (!a) return false; a.click(); },
    F8: () => step(".line, [data-stop]"),
    Escape: () => { if (history.length > 1) history.back(); else return false; },
    ArrowDown: e => walk(e, 1),
    ArrowUp: e => walk(e, -1),
    "Ctrl Enter": () => { const b = document.querySelector("[data-finish]"); if (!b) return false; b.click(); },
  };
  const desk = window.desk = { keys };

  // step goes to the next of some places, and from the last to the first.
  function step(what) {
    const all = [...document.querySelectorAll(what)];
    if (!all.length) return false;
    const at = all.findIndex(e => e === document.activeElement || e.contains(document.activeElement));
    const next = all[(at + 1) % all.length];
    if (next.tabIndex < 0) next.tabIndex = -1;
    next.focus(); next.scrollIntoView({ block: "nearest" });
  }
  // walk goes up and down the links of a table's rows.
  function walk(e, by) {
    if (/^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName)) return false;
    const all = [...document.querySelectorAll("table.walk tbody th a")];
    if (!all.length) return false;
    const at = all.indexOf(document.activeElement);
    all[Math.max(0, Math.min(all.length - 1, at < 0 ? 0 : at + by))].focus();
  }
  desk.named = e => (e.ctrlKey || e.metaKey ? "Ctrl " : "") + e.key;
  document.addEventListener("keydown", e => {
    if (e.defaultPrevented || e.altKey || e.isComposing) return;
    const act = keys[desk.named(e)];
    if (act && act(e) !== false) e.preventDefault();
  });
  const buttons = { "↑ ↓": "ArrowDown", Esc: "Escape", "Ctrl Enter": "Ctrl Enter" };
  document.addEventListener("click", e => {
    const b = e.target.closest("[data-key]");
    if (!b) return;
    const act = keys[buttons[b.dataset.key] || b.dataset.key];
    if (act) act(e);
  });
})();
