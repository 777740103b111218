// Finds headings, terms, figures and text. What there is to find comes from a
// script beside the page, loaded when somebody first wants to search, or in the
// edition that is one file from the page itself.
(function () {
  "use strict";
  var doc = document, HEADING = 0, TERM = 1, FIGURE = 2, MOST = 30;

  function plain(text) {
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[\u2019']/g, "").toLowerCase();
  }
  function words(text) { return plain(text).match(/[\p{L}\p{N}]+/gu) || []; }

  // The page itself, as the script beside a page would have it.
  function ownIndex() {
    var pages = [], findings = [];
    doc.querySelectorAll("main > article[id]").forEach(function (article) {
      var h1 = article.querySelector("h1");
      if (!h1 || article.id === "every-figure") return;
      var name = h1.cloneNode(true), no = name.querySelector(".no");
      if (no) no.remove();
      var page = pages.push([name.textContent.trim(), ""]) - 1;
      if (article.id === "glossary") {
        article.querySelectorAll(".def").forEach(function (d) {
          findings.push([TERM, page, d.id, d.querySelector("dt").textContent, d.querySelector("dd").textContent]);
        });
        return;
      }
      var now = [HEADING, page, article.id, pages[page][0], ""];
      findings.push(now);
      var walk = doc.createTreeWalker(article, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT, function (n) {
        return n.nodeType === 1 && n.matches("svg, details, tbody, thead, h1") ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_ACCEPT;
      });
      for (var n = walk.nextNode(); n; n = walk.nextNode()) {
        if (n.nodeType === 1) {
          if (n.matches("h2[id], h3[id]")) findings.push(now = [HEADING, page, n.id, n.textContent, ""]);
        } else now[4] += n.data;
      }
    });
    doc.querySelectorAll("#every-figure .working").forEach(function (w) {
      var b = w.querySelector("b"), n = w.querySelector(".n");
      if (b && n) findings.push([FIGURE, -1, w.id, b.textContent, n.textContent]);
    });
    return { pages: pages, findings: findings };
  }

  function start() {
    var box = doc.querySelector(".find");
    if (!box) return;
    var input = box.querySelector("input"), panel = box.querySelector(".found"), list = panel.querySelector("ol"), said = box.querySelector("p");
    var index = null, loading = false;

    function ready(data) {
      index = data;
      index.findings.forEach(function (f) {
        f.title = words(f[3]);
        f.text = plain(f[4]);
      });
      show();
    }
    function load() {
      if (index || loading) return;
      loading = true;
      var from = box.dataset.index;
      if (!from) { ready(ownIndex()); return; }
      var script = doc.createElement("script");
      script.src = from;
      script.onload = function () { ready(window.rickyardIndex); };
      script.onerror = function () { loading = false; said.textContent = box.dataset.none; };
      doc.head.appendChild(script);
    }

    // Each word asked for must begin a word of the title or stand in the text.
    function score(f, asked) {
      var sum = 0;
      for (var i = 0; i < asked.length; i++) {
        var word = asked[i], best = 0;
        f.title.forEach(function (t, at) {
          if (t.indexOf(word) === 0) best = Math.max(best, (t === word ? 30 : 20) + (at === 0 ? 6 : 0) - Math.min(5, f.title.length));
        });
        if (!best) {
          var at = f.text.search(new RegExp("(^|[^\\p{L}\\p{N}])" + word, "u"));
          if (at >= 0) best = f[0] === FIGURE ? 1 : 5;
        }
        if (!best) return 0;
        sum += best;
      }
      if (asked.length > 1 && f.title.join(" ").indexOf(asked.join(" ")) >= 0) sum += 15;
      return sum + (f[0] === HEADING ? 4 : f[0] === TERM ? 3 : 0);
    }

    // The text around the first word asked for.
    function around(f, asked) {
      if (f[0] !== HEADING) return f[4];
      var text = f[4].replace(/\s+/g, " "), at = -1;
      for (var i = 0; i < asked.length && at < 0; i++) {
        var m = new RegExp("(^|[^\\p{L}\\p{N}])" + asked[i], "iu").exec(text);
        if (m) at = m.index;
      }
      var from = Math.max(0, at - 40);
      if (from) from = text.indexOf(" ", from) + 1;
      return (from ? "\u2026 " : "") + text.slice(from, from + 110) + (text.length > from + 110 ? " \u2026" : "");
    }

    function marked(parent, text, asked) {
      var last = 0;
      if (asked.length) {
        text.replace(new RegExp("[\\p{L}\\p{N}]+", "gu"), function (word, at) {
          if (!asked.some(function (a) { return plain(word).indexOf(a) === 0; })) return "";
          parent.appendChild(doc.createTextNode(text.slice(last, at)));
          var m = doc.createElement("mark");
          m.textContent = word;
          parent.appendChild(m);
          last = at + word.length;
          return "";
        });
      }
      parent.appendChild(doc.createTextNode(text.slice(last)));
    }

    function show() {
      if (!index) return;
      var asked = words(input.value);
      list.textContent = "";
      if (!asked.length) { panel.hidden = true; said.textContent = ""; return; }
      var hits = [];
      index.findings.forEach(function (f, i) {
        var s = score(f, asked);
        if (s) hits.push([s, i, f]);
      });
      hits.sort(function (a, b) { return b[0] - a[0] || a[1] - b[1]; });
      hits.slice(0, MOST).forEach(function (hit) {
        var f = hit[2], page = index.pages[f[1]] || ["", ""];
        var li = doc.createElement("li"), a = doc.createElement("a"), b = doc.createElement("b"), rest = doc.createElement("span");
        a.href = page[1] + (f[2] ? "#" + f[2] : "");
        marked(b, f[3], asked);
        marked(rest, (page[0] && page[0] !== f[3] ? page[0] + ". " : "") + around(f, asked), asked);
        a.appendChild(b);
        a.appendChild(rest);
        li.appendChild(a);
        list.appendChild(li);
      });
      said.textContent = hits.length ? box.dataset.some.replace("#", hits.length) : box.dataset.none;
      panel.hidden = false;
    }

    function shut() { panel.hidden = true; }
    input.addEventListener("focus", function () { load(); if (input.value) show(); });
    input.addEventListener("input", function () { load(); show(); });
    box.addEventListener("keydown", function (e) {
      var links = Array.prototype.slice.call(list.querySelectorAll("a")), at = links.indexOf(doc.activeElement);
      if (e.key === "Escape") {
        input.value = "";
        input.focus();
        shut();
      } else if (e.key === "ArrowDown" && links.length && !panel.hidden) {
        links[Math.min(at + 1, links.length - 1)].focus();
      } else if (e.key === "ArrowUp" && at >= 0) {
        (at ? links[at - 1] : input).focus();
      } else if (e.key === "Enter" && at < 0 && links.length && !panel.hidden) {
        links[0].click();
      } else return;
      e.preventDefault();
    });
    list.addEventListener("click", function (e) { if (e.target.closest("a")) setTimeout(shut); });
    doc.addEventListener("click", function (e) { if (!box.contains(e.target)) shut(); });
    box.addEventListener("focusout", function (e) { if (e.relatedTarget && !box.contains(e.relatedTarget)) shut(); });
  }
  if (doc.readyState === "loading") doc.addEventListener("DOMContentLoaded", start);
  else start();
})();
