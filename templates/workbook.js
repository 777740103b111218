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

  // Numbers, terms and footnotes open in place. What is known of a number comes
  // from a script of its subject beside the page, or in the edition that is one
  // file from the page itself.
  function workings() {
    var pop = doc.getElementById("pop");
    if (!pop || !pop.showPopover) return;
    var body = pop.querySelector(".pop-body"), back = pop.querySelector(".return");
    var asker = null, shutBy = null, shutAt = 0, trail = [];
    var inside = doc.getElementById("workings-data"), lower = pop.dataset.keeps !== "yes";
    var known = window.rickyardWorkings = window.rickyardWorkings || {};

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

    function make(tag, name, text) {
      var e = doc.createElement(tag);
      if (name) e.className = name;
      if (text) e.textContent = text;
      return e;
    }

    // A figure's subject and its name there; a name may begin with that of in.
    function parted(name, within) {
      if (name[0] === "." || name[0] === ":") return [within, name[0] === "." ? name.slice(1) : name];
      var at = name.search(/[.:]/);
      return at < 0 ? [name, name] : [name.slice(0, at), name[at] === "." ? name.slice(at + 1) : name.slice(at)];
    }
    function named(link) {
      if (link.dataset.f) return parted(link.dataset.f);
      var m = /(?:^|\/)w-([a-z0-9_]+)\.html#(.+)$/.exec(link.getAttribute("href"));
      if (m) return [m[1], decodeURIComponent(m[2])];
      m = /^#f-(.+)$/.exec(link.getAttribute("href") || "");
      return m && inside ? parted(decodeURIComponent(m[1])) : null;
    }
    function load(subjects, done) {
      if (inside && !known.all) {
        var packed = Uint8Array.from(atob(inside.textContent), function (c) { return c.charCodeAt(0); });
        new Response(new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"))).json().then(function (all) {
          known = all;
          known.all = true;
          done();
        });
        return;
      }
      var waits = 1;
      function one() { if (--waits === 0) done(); }
      subjects.forEach(function (s) {
        if (known[s] || inside) return;
        waits++;
        var script = doc.createElement("script");
        script.src = "w-" + s + ".js";
        script.onload = script.onerror = one;
        doc.head.appendChild(script);
      });
      one();
    }
    function of(f) { var s = known[f[0]]; return s && s.w[f[1]]; }
    function mid(text) { return lower && !/^\S?[A-Z\d]/.test(text.slice(1, 3)) && text.length > 1 && text[1] !== " " ? text[0].toLowerCase() + text.slice(1) : text; }
    function title(f, within, amid) {
      var w = of(f), text = w ? w[0] : f[1];
      text = text[0] === "\u0002" ? text.slice(1) : amid ? mid(text) : text;
      return f[0] === within || !known[f[0]] ? text : known[f[0]].t + ": " + text;
    }
    function address(f) { return inside ? "#f-" + f[0] + (f[1][0] === ":" ? "" : ".") + f[1] : "w-" + f[0] + ".html#" + f[1]; }
    function link(f, text) {
      var a = make("a", "fig", text);
      a.href = address(f);
      return a;
    }
    function fills(p, names, texts) {
      var from = 0;
      names.forEach(function (n) {
        var at = texts.indexOf("\u0001", from);
        p.append(texts.slice(from, at), n(p));
        from = at + 1;
      });
      p.append(texts.slice(from));
    }

    function show(f, done) {
      load([f[0]], function () {
        var w = of(f);
        if (!w) { location.href = address(f); return; }
        var refs = (w[3] || []).map(function (n) { return parted(n, f[0]); });
        var rests = (w[6] || []).map(function (n) { return parted(n, f[0]); });
        load(refs.concat(rests).map(function (r) { return r[0]; }), function () { draw(f, w, refs, rests); done(); });
      });
    }
    function draw(f, w, refs, rests) {
      body.textContent = "";
      if (trail.length) {
        var way = make("p", "trail");
        trail.forEach(function (t, i) {
          var a = link(t, title(t, f[0]));
          a.dataset.step = i;
          way.append(a, " \u203a ");
        });
        body.append(way);
      }
      back.hidden = !trail.length;
      var name = make("p", "w-name");
      name.append(make("b", "", title(f, f[0])), " ", make("span", "n", w[1]));
      body.append(name);
      if (w[2]) {
        var quiet = w[2][0] === "\u0003", text = quiet ? w[2].slice(1) : w[2];
        if (!quiet) {
          var how = make("p", "w-how");
          fills(how, refs.map(function (r) { return function () { return link(r, title(r, f[0], true)); }; }), text);
          body.append(how);
        }
        if (refs.length && text !== "\u0001") {
          var put = make("p", "w-put");
          fills(put, refs.map(function (r) {
            return function () {
              var v = of(r) ? of(r)[1] : "";
              return link(r, v[0] === "\u2212" && / $/.test(put.textContent) ? "(" + v + ")" : v);
            };
          }), text);
          body.append(put);
        }
      }
      if (rests.length) {
        var on = make("p", "w-how"), parts = w[7].split("%s");
        on.append(parts[0]);
        rests.forEach(function (r, i) { if (i) on.append("; "); on.append(link(r, title(r, f[0], true))); });
        on.append(parts[1]);
        body.append(on);
      }
      if (w[5]) body.append(make("p", "w-src", w[5]));
      if ((w[4] || []).length) {
        var used = make("p", "w-go", pop.dataset.shown + " ");
        w[4].forEach(function (n, i) {
          var p = known[f[0]].p[n], a = make("a", "", p[1]);
          a.href = p[0];
          if (i) used.append("; ");
          used.append(a);
        });
        body.append(used);
      }
    }

    function fill(target) {
      var copy = target.cloneNode(true);
      all("[id]", copy).forEach(function (e) { e.removeAttribute("id"); });
      body.textContent = "";
      back.hidden = true;
      while (copy.firstChild) body.appendChild(copy.firstChild);
    }

    var openers = "a.fig, a.term, a.footnote-ref";
    // In the edition that is one file a number of a table is a cell's own.
    all("td[data-f]").forEach(function (td) {
      var a = make("a", "fig");
      a.dataset.f = td.dataset.f;
      td.removeAttribute("data-f");
      while (td.firstChild) a.appendChild(td.firstChild);
      td.appendChild(a);
    });
    all(openers).forEach(function (a) {
      a.setAttribute("aria-haspopup", "dialog");
      a.setAttribute("aria-expanded", "false");
      if (a.dataset.f) a.href = "#workings"; // where it leads if it can't be opened
    });
    var now = null;
    function open(asked) {
      asker = asked;
      pop.showPopover();
      asked.setAttribute("aria-expanded", "true");
      place(asked);
      pop.focus({ preventScroll: true });
    }
    function turnTo(f, steps) {
      trail = steps;
      now = f;
      show(f, function () { pop.scrollTop = 0; if (asker) place(asker); pop.focus({ preventScroll: true }); });
    }
    back.addEventListener("click", function () { turnTo(trail[trail.length - 1], trail.slice(0, -1)); });
    doc.addEventListener("click", function (e) {
      if (e.button || e.metaKey || e.ctrlKey || e.shiftKey || e.altKey) return;
      var at = e.target.closest && e.target.closest("a[href]");
      if (!at && e.target.closest && e.target.closest(".months td")) at = e.target.closest("tr").querySelector("a.fig[href]");
      if (!at) return;
      var within = pop.contains(at), f = at.matches(".fig") && named(at);
      if (within) {
        if (!f) { pop.hidePopover(); return; }
        e.preventDefault();
        if (at.dataset.step) turnTo(f, trail.slice(0, Number(at.dataset.step)));
        else turnTo(f, now ? trail.concat([now]) : []);
        return;
      }
      if (!at.matches(openers)) return;
      // The press that lands on the open figure has already shut it.
      if (at === shutBy && Date.now() - shutAt < 400) { e.preventDefault(); return; }
      if (f) {
        e.preventDefault();
        trail = [];
        now = f;
        show(f, function () { open(at); });
        return;
      }
      var target = doc.getElementById(decodeURIComponent((at.getAttribute("href") || "").slice(1)));
      if (!target) return;
      e.preventDefault();
      now = null;
      trail = [];
      fill(target);
      open(at);
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
