// What a page does beside being read: its colours, its navigation on small screens, its wide tables.
// It runs before the page is drawn, so that a dark page is never white for an instant.
(function () {
  "use strict";
  var root = document.documentElement;
  root.classList.add("scripted");

  // Some browsers refuse storage to pages opened from disk; the choice then holds for this page only.
  function stored() {
    try { return localStorage.getItem("manual-colours"); } catch (refused) { return null; }
  }
  function store(colours) {
    try { localStorage.setItem("manual-colours", colours); } catch (refused) { /* nothing to do */ }
  }
  var chosen = stored();
  if (chosen === "light" || chosen === "dark") root.dataset.colours = chosen;

  function isDark() {
    return root.dataset.colours ? root.dataset.colours === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  }

  function setUpColours(button) {
    function show() { button.setAttribute("aria-pressed", String(isDark())); }
    button.hidden = false;
    button.addEventListener("click", function () {
      root.dataset.colours = isDark() ? "light" : "dark";
      store(root.dataset.colours);
      show();
    });
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", show);
    show();
  }

  function setUpMenu(button, nav) {
    function open(yes) {
      button.setAttribute("aria-expanded", String(yes));
      nav.classList.toggle("open", yes);
    }
    button.hidden = false;
    button.addEventListener("click", function () { open(button.getAttribute("aria-expanded") !== "true"); });
    nav.addEventListener("click", function (event) { if (event.target.closest("a")) open(false); });
    document.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && nav.classList.contains("open")) { open(false); button.focus(); }
    });
  }

  // A region takes the focus only where it has something to scroll.
  function setUpScrolling(region) {
    function look() {
      if (region.scrollWidth > region.clientWidth + 1) region.setAttribute("tabindex", "0");
      else region.removeAttribute("tabindex");
    }
    if (window.ResizeObserver) new ResizeObserver(look).observe(region);
    look();
  }

  // A column of a table says what is healthy; with a fault picked it says what would be read then. Paper gets what is healthy.
  function setUpPicker(picker) {
    var table = document.getElementById(picker.dataset.table);
    if (!table) return;
    var texts = picker.dataset.texts.split("|"), rows = JSON.parse(picker.dataset.rows);
    var select = picker.querySelector("select"), status = picker.querySelector("[role=status]");
    var column = Number(picker.dataset.column), head = table.querySelector("thead tr").cells[column];
    var cells = [].map.call(table.querySelectorAll("tbody tr"), function (row) { return row.cells[column]; });
    var healthy = cells.map(function (cell) { return [].slice.call(cell.childNodes); }), title = head.textContent;
    function restore() {
      cells.forEach(function (cell, at) { cell.replaceChildren.apply(cell, healthy[at]); cell.classList.remove("picked", "amiss"); });
      head.textContent = title;
      table.classList.remove("with-fault");
    }
    function show() {
      restore();
      status.textContent = "";
      if (select.value === "") return;
      var row = rows[Number(select.value)].map(function (number) { return texts[number]; }), amiss = 0;
      cells.forEach(function (cell, at) {
        var changed = / not healthy$/.test(row[at]);
        cell.textContent = row[at];
        cell.classList.add("picked");
        cell.classList.toggle("amiss", changed);
        amiss += changed ? 1 : 0;
      });
      head.textContent = "With the fault";
      table.classList.add("with-fault");
      var fault = select.options[select.selectedIndex].textContent;
      status.textContent = fault + " " + row[row.length - 1] + " Readings that are not healthy: " + amiss + " of " + cells.length + ".";
    }
    select.addEventListener("change", show);
    window.addEventListener("beforeprint", restore);
    window.addEventListener("afterprint", show);
    picker.hidden = false;
    show();
  }

  document.addEventListener("DOMContentLoaded", function () {
    setUpColours(document.getElementById("ui-theme"));
    setUpMenu(document.getElementById("ui-menu"), document.getElementById("ui-nav"));
    document.querySelectorAll(".scroll").forEach(setUpScrolling);
    document.querySelectorAll(".fault-picker").forEach(setUpPicker);
  });
})();
