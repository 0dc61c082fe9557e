// The search box. The index is a script beside this one, fetched when the box is first used.
(function () {
  "use strict";
  var MOST = 40;
  // The same as in the writer of the index.
  var BETWEEN_WORDS = /[\s,;:()\[\]{}<>|="'“”„‘’«»…→·]+/;
  var AROUND_WORDS = /^[.!?\-–/]+|[.!?\-–/]+$/g;

  var box = document.getElementById("ui-search");
  var input = document.getElementById("ui-query");
  var panel = document.getElementById("ui-results");
  var status = panel.querySelector("p");
  var list = panel.querySelector("ol");
  var asked = false;

  function load() {
    if (asked) return;
    asked = true;
    var script = document.createElement("script");
    script.src = "assets/search-index.js";
    script.addEventListener("load", show);
    document.head.append(script);
  }

  function wordsOf(text) {
    return text.toLowerCase().split(BETWEEN_WORDS)
      .map(function (word) { return word.replace(AROUND_WORDS, "").slice(0, 40); })
      .filter(Boolean);
  }

  // The place of the first word that is not before `word`.
  function placeOf(words, word) {
    var low = 0, high = words.length;
    while (low < high) {
      var middle = (low + high) >> 1;
      if (words[middle] < word) low = middle + 1; else high = middle;
    }
    return low;
  }

  // Sections that hold a word beginning with `word` → 0 where it is the whole word, 1 where it goes on.
  function sectionsWith(index, word) {
    var sections = new Map();
    for (var at = placeOf(index.words, word); at < index.words.length && index.words[at].startsWith(word); at++) {
      var more = index.words[at] === word ? 0 : 1;
      index.found[at].forEach(function (section) {
        sections.set(section, Math.min(more, sections.has(section) ? sections.get(section) : 1));
      });
    }
    return sections;
  }

  // Codes first, then titles, then headings, then the text of chapters, then that of other pages; whole words before
  // beginnings of words.
  function rank(index, number, words, more) {
    var section = index.sections[number], page = index.pages[section[0]];
    var mark = page[1].toLowerCase(), query = words.join(" "), top = section[1] === "";
    if (top && mark && mark === query) return 0;
    if (top && mark && mark.startsWith(query)) return 1;
    if (top && holdsAll(page[2], words)) return 2;
    if (holdsAll(section[2], words)) return 3;
    return 4 + more + (mark ? 0 : 2);
  }

  function holdsAll(text, words) {
    var lower = text.toLowerCase();
    return words.every(function (word) { return lower.includes(word); });
  }

  function search(index, text) {
    var words = wordsOf(text);
    if (!words.length) return [];
    var hits = null;
    words.forEach(function (word) {
      var here = sectionsWith(index, word), both = new Map();
      here.forEach(function (more, section) {
        if (hits === null) both.set(section, more);
        else if (hits.has(section)) both.set(section, Math.max(more, hits.get(section)));
      });
      hits = both;
    });
    return Array.from(hits, function (hit) { return { section: hit[0], rank: rank(index, hit[0], words, hit[1]) }; })
      .sort(function (a, b) { return a.rank - b.rank || a.section - b.section; });
  }

  function span(name, text) {
    var element = document.createElement("span");
    element.className = name;
    element.textContent = text;
    return element;
  }

  function line(index, hit) {
    var section = index.sections[hit.section], page = index.pages[section[0]];
    var link = document.createElement("a"), item = document.createElement("li");
    link.href = page[0] + (section[1] ? "#" + section[1] : "");
    if (page[1]) link.append(span("mark", page[1]), " ");
    link.append(span("title", page[2]));
    if (section[2]) link.append(" ", span("section", section[2]));
    item.append(link);
    return item;
  }

  function show() {
    var index = window.manualIndex, text = input.value.trim();
    if (!index || !text) { panel.hidden = true; return; }
    var hits = search(index, text), shown = hits.slice(0, MOST);
    status.textContent = hits.length > MOST ? shown.length + " of " + hits.length + " places"
      : hits.length === 1 ? "1 place" : hits.length ? hits.length + " places" : "Nothing found";
    list.replaceChildren.apply(list, shown.map(function (hit) { return line(index, hit); }));
    panel.hidden = false;
  }

  // Arrows walk through box and results; Enter in the box follows the first result; Escape closes.
  function onKey(event) {
    var stops = [input].concat(Array.from(list.querySelectorAll("a")));
    var at = stops.indexOf(document.activeElement);
    if (event.key === "Escape") { input.focus(); panel.hidden = true; }
    else if (panel.hidden || at < 0) return;
    else if (event.key === "ArrowDown" && at + 1 < stops.length) stops[at + 1].focus();
    else if (event.key === "ArrowUp" && at > 0) stops[at - 1].focus();
    else if (event.key === "Enter" && at === 0 && stops.length > 1) stops[1].click();
    else return;
    event.preventDefault();
  }

  box.hidden = false;
  input.addEventListener("focus", load);
  input.addEventListener("input", function () { load(); show(); });
  input.addEventListener("focus", show);
  box.addEventListener("keydown", onKey);
  list.addEventListener("click", function () { panel.hidden = true; });
  document.addEventListener("pointerdown", function (event) { if (!box.contains(event.target)) panel.hidden = true; });
  box.addEventListener("focusout", function (event) {
    if (event.relatedTarget && !box.contains(event.relatedTarget)) panel.hidden = true;
  });
})();
