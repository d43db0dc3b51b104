// Keys of the pages of weeks, pulls and reasons: the weeks before and after, why,
// and the act that finishes a page.
(() => {
  "use strict";
  const keys = desk.keys;
  const typing = () => /^(INPUT|SELECT|TEXTAREA)$/.test(document.activeElement.tagName) || document.activeElement.matches(".scroll");
  const go = rel => () => {
    const link = document.querySelector(`a[rel="${rel}"]`);
    if (!link || typing()) return false;
    link.click();
  };
  keys.ArrowLeft = keys["←"] = go("prev");
  keys.ArrowRight = keys["→"] = go("next");
  // Why of the row that has the focus, or of the one that is open.
  keys.F9 = () => {
    const row = document.activeElement.closest("[data-why]") || document.querySelector("tr.sel[data-why]");
    if (!row) return false;
    location.assign(row.dataset.why);
  };
  keys["Ctrl Enter"] = () => {
    const button = document.querySelector("[data-finish]");
    if (!button) return false;
    button.click();
  };
})();
