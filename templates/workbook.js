// Adds to a page that already reads without it: workings in place, sorting,
// light or dark, and turning pages with the arrow keys.
(function () {
  "use strict";
  var doc = document, root = doc.documentElement, KEY = "rickyard-shade";
  root.classList.add("js");
  // Runs before the first paint, so that a remembered shade does not flash.
  try {
    var kept = localStorage.getItem(KEY);
    if (kept === "light" || kept === "dark") root.dataset.shade = kept;
  } catch (e) { /* storage may be refused; the system's own shade then holds */ }

  function all(selector, from) {
    return Array.prototype.slice.call((from || doc).querySelectorAll(selector));
  }

  function shades() {
    var button = doc.querySelector(".shade");
    if (!button) return;
    function dark() {
      var s = root.dataset.shade;
      return s ? s === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
    }
    function label() { button.textContent = dark() ? button.dataset.light : button.dataset.dark; }
    button.addEventListener("click", function () {
      var s = root.dataset.shade = dark() ? "light" : "dark";
      try { localStorage.setItem(KEY, s); } catch (e) { /* not remembered */ }
      label();
    });
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", label);
    label();
  }

  function workings() {
    var pop = doc.getElementById("pop");
    if (!pop || !pop.showPopover) return;
    var body = pop.querySelector(".pop-body"), asker = null, shutBy = null, shutAt = 0;

    function place(link) {
      if (matchMedia("(max-width: 35.99rem)").matches) { pop.style.cssText = ""; return; }
      var at = link.getBoundingClientRect(), wide = root.clientWidth, w = pop.offsetWidth, h = pop.offsetHeight;
      var article = link.closest("article"), inMargin = false, left = at.left;
      if (article && !link.closest("table, .summary")) {
        var box = article.getBoundingClientRect(), room = parseFloat(getComputedStyle(article).paddingRight);
        // In the margin column when there is one, so that the sentence stays in view.
        if (room > 200) { inMargin = true; left = box.right - room + 24; }
      }
      left = Math.max(16, Math.min(left, wide - w - 16));
      var top = inMargin ? at.top - 8 : at.bottom + 8;
      if (top + h > innerHeight - 8) top = inMargin ? innerHeight - h - 8 : at.top - h - 8;
      pop.style.left = left + scrollX + "px";
      pop.style.top = Math.max(8, top) + scrollY + "px";
    }

    function fill(target) {
      var copy = target.cloneNode(true);
      all("[id]", copy).forEach(function (e) { e.removeAttribute("id"); });
      body.textContent = "";
      while (copy.firstChild) body.appendChild(copy.firstChild);
    }

    all("a.fig, a.term, a.footnote-ref").forEach(function (a) {
      a.setAttribute("aria-haspopup", "dialog");
      a.setAttribute("aria-expanded", "false");
    });
    doc.addEventListener("click", function (e) {
      if (e.button || e.metaKey || e.ctrlKey || e.shiftKey || e.altKey) return;
      var link = e.target.closest && e.target.closest("a[href^='#']");
      if (!link) return;
      var inside = pop.contains(link);
      if (!link.matches(".fig, .term, .footnote-ref")) { if (inside) pop.hidePopover(); return; }
      var target = doc.getElementById(decodeURIComponent(link.getAttribute("href").slice(1)));
      if (!target) return;
      e.preventDefault();
      if (inside) { fill(target); pop.focus(); return; }
      // The press that lands on the open figure has already shut it.
      if (link === shutBy && Date.now() - shutAt < 400) return;
      fill(target);
      asker = link;
      pop.showPopover();
      link.setAttribute("aria-expanded", "true");
      place(link);
      pop.focus({ preventScroll: true });
    });
    pop.addEventListener("toggle", function (e) {
      if (e.newState !== "closed" || !asker) return;
      asker.setAttribute("aria-expanded", "false");
      if (pop.contains(doc.activeElement) || doc.activeElement === doc.body) asker.focus({ preventScroll: true });
      shutBy = asker;
      shutAt = Date.now();
      asker = null;
    });
    pop.querySelector(".close").addEventListener("click", function () { pop.hidePopover(); });
  }

  // A region is a stop for the keyboard only while it has something to scroll.
  function regions() {
    all(".scroll, .plot").forEach(function (r) {
      r.written = r.written || r.getAttribute("role");
      if (r.scrollWidth > r.clientWidth + 1) { r.tabIndex = 0; r.setAttribute("role", r.written); }
      else { r.removeAttribute("tabindex"); r.setAttribute("role", "group"); }
    });
  }

  function sorting() {
    function key(row, i) {
      var cell = row.cells[i];
      if (!cell) return "";
      var raw = cell.dataset.v, text = cell.textContent.trim();
      var n = Number(raw !== undefined ? raw : text.replace(/\u2212/g, "-").replace(/[\s,%]/g, ""));
      return (raw || text) && !isNaN(n) ? n : text;
    }
    all("table.sortable").forEach(function (table) {
      var heads = all("thead th", table), body = table.tBodies[0];
      heads.forEach(function (th, i) {
        var button = doc.createElement("button");
        button.type = "button";
        while (th.firstChild) button.appendChild(th.firstChild);
        th.appendChild(button);
        button.addEventListener("click", function () {
          var down = th.getAttribute("aria-sort") === "ascending";
          heads.forEach(function (h) { h.removeAttribute("aria-sort"); });
          th.setAttribute("aria-sort", down ? "descending" : "ascending");
          var rows = all("tr", body), last = rows.filter(function (r) { return r.matches(".total, .sub"); });
          rows.filter(function (r) { return last.indexOf(r) < 0; }).sort(function (a, b) {
            var x = key(a, i), y = key(b, i);
            var order = typeof x === "number" && typeof y === "number" ? x - y : String(x).localeCompare(String(y), root.lang);
            return down ? -order : order;
          }).concat(last).forEach(function (r) { body.appendChild(r); });
        });
      });
    });
  }

  function turning() {
    doc.addEventListener("keydown", function (e) {
      var rel = { ArrowLeft: "prev", ArrowRight: "next" }[e.key];
      if (!rel || e.defaultPrevented || e.metaKey || e.ctrlKey || e.shiftKey || e.altKey) return;
      // Arrows belong to whatever has the focus, and to a page that scrolls sideways.
      if (e.target !== doc.body || root.scrollWidth > root.clientWidth || String(getSelection())) return;
      var link = doc.querySelector(".turn a[rel=" + rel + "]");
      if (link) location.href = link.href;
    });
  }

  function paper() {
    var shut = [];
    addEventListener("beforeprint", function () {
      shut = all("details:not([open])");
      shut.forEach(function (d) { d.open = true; });
    });
    addEventListener("afterprint", function () {
      shut.forEach(function (d) { d.open = false; });
    });
  }

  function start() {
    shades(); workings(); regions(); sorting(); turning(); paper();
    addEventListener("resize", regions);
  }
  if (doc.readyState === "loading") doc.addEventListener("DOMContentLoaded", start);
  else start();
})();
